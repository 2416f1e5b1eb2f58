"""The reference of the film folder cannot go stale."""

from __future__ import annotations

from pathlib import Path

from splitpin.folder.describe import PATTERNS, schema_of
from splitpin.folder.kinds import KINDS
from splitpin.folder.reference import reference
from splitpin.motion import MOVES

PAGE = Path(__file__).parents[2] / "docs" / "film-folder.md"


def test_the_page_is_what_the_documents_define() -> None:
    assert PAGE.read_text(encoding="utf-8") == reference(), "refresh it with: make reference"


def test_every_key_of_every_document_and_move_is_on_the_page() -> None:
    page = reference()
    for model in [*(k.model for k in KINDS), *MOVES]:
        schema = schema_of(model)
        for table in [schema, *schema.get("$defs", {}).values()]:
            for key in table.get("properties", {}):
                assert f"| `{key}` |" in page, f"{table['title']}.{key}"


def test_every_key_has_a_description() -> None:
    for line in reference().splitlines():
        if line.startswith("| `"):
            assert line.split(" | ")[3].strip(" |"), line


def test_every_pattern_of_text_has_words() -> None:
    def patterns(node: object) -> set[str]:
        if isinstance(node, dict):
            own = {node["pattern"]} if isinstance(node.get("pattern"), str) else set()
            return own.union(*(patterns(v) for v in node.values()))
        return set().union(*(patterns(v) for v in node)) if isinstance(node, list) else set()

    assert set().union(*(patterns(schema_of(k.model)) for k in KINDS)) <= set(PATTERNS)
