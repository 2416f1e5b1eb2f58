"""The reference of the film folder, written from the documents' own definitions.

``python -m splitpin.folder.reference docs/film-folder.md`` writes it anew.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable
from pathlib import Path

from pydantic import BaseModel

from splitpin.folder import pictures, read, sounds, takes
from splitpin.folder.describe import Schema, literal, resolved, schema_of, tidy, words_for
from splitpin.folder.kinds import KINDS, Kind
from splitpin.motion import MOVES
from splitpin.motion.move import Move

PREFACE = f"""\
# The film folder

<!-- Written by `make reference` from the documents' own definitions. Change those, not this page. -->

A film is a folder of plain text and plain pictures:

    exact-change/
      film.toml                 the film as a whole
      scenes/010-wall.toml      one set-up of the table: board, cast, moves, sounds
      characters/cat.toml       a figure of loose pieces on pins
      cutouts/cat-head.png      a transparent picture, and beside it …
      cutouts/cat-head.toml     … how wide it is on the table
      pictures/cat.jpg          a picture as found, never altered, and beside it …
      pictures/cat.toml         … where it comes from
      sounds/clink.wav          a sound ({", ".join(sounds.ENDINGS)}); beside it, if you like …
      sounds/clink.toml         … where it comes from
      board/010-1.png           board drawings, wherever panels name them
      takes/010-wall/000034.png shot frames
      made/                     everything made; safe to throw away

Documents are TOML 1.0 in UTF-8. Each begins with the version of its kind, `format = 1`. A key that is not
told here is a mistake. `splitpin check` finds all mistakes at once. Programs that change a document keep its
comments and its order.

- **Names** (of documents, members, pieces, pins, panels, moves) are letters of any alphabet, digits, `-` and
  `_`, at most 80, and begin with a letter or a digit. A document is called as its file is, less `.toml`.
- **Numbers** are finite and lie between -1000000 and 1000000. Millimetres and degrees follow the
  [conventions](conventions.md): on the table x runs to the right and y up from the middle of the field,
  angles run anticlockwise; pins are pixels of their cut-out, x to the right and y down from its top left
  corner.
- **Paths** are written with `/`, as the file is spelled on the disk, and never leave the folder.
- **Sizes**: a document has at most {read.MOST_BYTES >> 20} MB, a picture at most
  {pictures.MOST_PIXELS // 1_000_000} million pixels, a sound at most {sounds.MOST_BYTES >> 30} GB.
"""

TAKES = f"""\
## Takes: `takes/SCENE/FRAME.png`

A shot frame of real paper. FRAME is the first frame of its exposure, counted from the start of the scene,
in six digits: `takes/010-wall/000034.png`. Another take of the same exposure is `000034-2.png`, then
`000034-3.png`; files are written once and never overwritten, and the highest number counts.
Endings: {", ".join(takes.ENDINGS)}.
"""

WHOM = {"member": "members of the cast", "view": "the view", "both": "members of the cast, or the view"}

HEAD = "| key | what may stand there | when left out | what it is |\n|---|---|---|---|\n"


def reference() -> str:
    """The whole page."""
    parts = [PREFACE]
    told: set[str] = set()
    for kind in KINDS:
        parts += _document(kind, told)
    parts.append(TAKES)
    return "\n".join(parts)


def _document(kind: Kind, told: set[str]) -> Iterable[str]:
    root = schema_of(kind.model)
    text = tidy(root.get("description", ""))
    place = f"{kind.place}/NAME.toml" if kind.place else "film.toml"
    title = kind.name.capitalize() if kind.name != "cutout" else "Cut-out"
    yield f"## {title}: `{place}`\n\n{_after_path(text)}\n\n{_table(root, root, set())}"
    yield from _inner(root, root, "", told)
    if "Slide" in root.get("$defs", {}):
        yield from _moves(told)


def _inner(root: Schema, node: Schema, prefix: str, told: set[str]) -> Iterable[str]:
    """A section for each kind of table within a table, where it is first met."""
    for key, raw in node.get("properties", {}).items():
        found = resolved(root, raw)
        choice, by_name = _choice_in(root, found)
        for kind in choice:
            at = f"{prefix}{key}{'.NAME' if by_name else ''}"
            yield (
                f'### <a id="{str(kind.get("title")).lower()}"></a>`[{at}]` of the kind '
                f"`{kind['properties']['kind']['const']}`\n\n"
                f"{tidy(kind.get('description', ''))}\n\n{_table(root, kind, set())}"
            )
            yield from _inner(root, kind, f"{at}.", told)
        inner, many = _table_in(root, found)
        if inner is None:
            continue
        path = f"{prefix}{key}" + (".NAME" if many == "name" else "")
        name = str(inner.get("title"))
        if name in told:
            yield f"### `{_bracketed(path, many)}`\n\nAs told above under {_link(name)}.\n"
            continue
        told.add(name)
        yield (
            f'### <a id="{name.lower()}"></a>`{_bracketed(path, many)}`\n\n'
            f"{tidy(inner.get('description', ''))}\n\n{_table(root, inner, set())}"
        )
        yield from _inner(root, inner, f"{path}.", told)


def _moves(told: set[str]) -> Iterable[str]:
    base = set(Move.model_fields)
    kinds = ", ".join(f'[`"{kind}"`](#move-{kind})' for kind in map(_kind, MOVES))
    yield (
        "### `[[moves]]`\n\nWhat happens, one table a move. All moves share these keys. Every move has the "
        "events `start` and `end`; those that it has besides are told with it.\n\n"
        f"{HEAD}| `move` | one of {kinds} | **must be given** | Which move it is. |\n"
        f"{_table(*_own(MOVES[0], base)).removeprefix(HEAD)}"
    )
    for move in MOVES:
        kind = _kind(move)
        plural = "" if move.usual == 1 else "s"
        usual = f"{move.usual} position{plural}" if move.usual else "to the end of its panel"
        own = set(move.model_fields) - base
        text = tidy(schema_of(move).get("description", "")) or move.summary
        ones = "; on ones unless `on` says otherwise" if move.model_fields["on"].default == 1 else ""
        gives = tidy((move.motion.__doc__ or "").split("\n\n")[0])
        more = f"\n\n{_table(*_own(move, own))}" if own - {"move"} else "\n"
        yield (
            f'#### <a id="move-{kind}"></a>`move = "{kind}"`\n\n{text}\n\n'
            f"Moves {WHOM[move.works_on]}. Usual timing: {usual}{ones}. Channels and events: {gives}{more}"
        )
        whole = schema_of(move)
        yield from _inner(whole, whole, "moves.", told)


def _kind(move: type[BaseModel]) -> str:
    return str(schema_of(move)["properties"]["move"]["const"])


def _own(move: type[BaseModel], keys: set[str]) -> tuple[Schema, Schema, set[str]]:
    root = schema_of(move)
    return root, root, {k for k in root["properties"] if k not in keys or k == "move"}


def _table(root: Schema, node: Schema, without: set[str]) -> str:
    required = node.get("required", [])
    rows = ""
    for key, raw in node.get("properties", {}).items():
        if key in without:
            continue
        inner = resolved(root, raw)
        words = words_for(root, inner, brief=True)
        default = "**must be given**" if key in required else _default(raw)
        meaning = tidy(raw.get("description") or inner.get("description", ""))
        rows += f"| `{key}` | {_cell(words)} | {_cell(default)} | {_cell(meaning)} |\n"
    return HEAD + rows


def _default(raw: Schema) -> str:
    value = raw.get("default")
    if value is None:
        return "nothing"
    if isinstance(value, dict) and value:
        return "as below"
    if value in ("", [], {}):
        return "nothing"
    return f"`{literal(value)}`"


def _choice_in(root: Schema, node: Schema) -> tuple[list[Schema], bool]:
    """The kinds of table among which a key, or each name in its table, may choose by its key ``kind``."""
    inner = [resolved(root, free) for free in node.get("patternProperties", {}).values()]
    for found, by_name in [(node, False), *((free, True) for free in inner)]:
        kinds = [resolved(root, kind) for kind in found.get("oneOf", [])]
        if kinds and all("kind" in kind["properties"] for kind in kinds):
            return kinds, by_name
    return [], False


def _table_in(root: Schema, node: Schema) -> tuple[Schema | None, str]:
    """The table with fixed keys that stands at a key, and how often: once, in a list, or by name."""
    if "properties" in node:
        return node, "once"
    items = resolved(root, node.get("items", {}))
    if "properties" in items:
        return items, "list"
    for free in node.get("patternProperties", {}).values():
        inner = resolved(root, free)
        if "properties" in inner:
            return inner, "name"
    return None, ""


def _bracketed(path: str, many: str) -> str:
    return f"[[{path}]]" if many == "list" else f"[{path}]"


def _after_path(text: str) -> str:
    _, colon, rest = text.partition("`: ")
    return f"{rest[:1].upper()}{rest[1:]}" if colon else text


def _link(name: str) -> str:
    return f"[the same table](#{name.lower()})"


def _cell(text: str) -> str:
    return text.replace("|", "\\|")


def main() -> None:
    """Write the page to the path given, or to the terminal."""
    if len(sys.argv) > 1:
        Path(sys.argv[1]).write_text(reference(), encoding="utf-8", newline="\n")
    else:
        sys.stdout.write(reference())


if __name__ == "__main__":
    main()
