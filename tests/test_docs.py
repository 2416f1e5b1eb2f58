"""What the documents tell people to type works when it is typed, and no command goes untold."""

from __future__ import annotations

import re
import shlex
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import pytest
import typer.core
import typer.main
from tests.tinyfilm import png, write_tiny
from typer.testing import CliRunner

from splitpin.command.main import build
from splitpin.example.found import FOUND, found_path
from splitpin.example.sounds import write_sound

ROOT = Path(__file__).parents[1]
README, FIRST, COMMANDS = ROOT / "README.md", ROOT / "docs/first-character.md", ROOT / "docs/commands.md"
PAGES = [README, ROOT / "CHANGELOG.md", *sorted((ROOT / "docs").rglob("*.md"))]
SETTING_UP = ("python3 -m venv", ".venv/bin/python", ". .venv/bin/activate", "make ")


class Block(NamedTuple):
    """Something to type: commands, or the text of a file."""

    kind: str
    text: str
    before: str
    """The paragraph above it, which says what file it is."""


def blocks(page: Path) -> Iterator[Block]:
    text = page.read_text(encoding="utf-8")
    for found in re.finditer(r"^```(\w+)\n(.*?)^```$", text, re.DOTALL | re.MULTILINE):
        before = text[: found.start()].strip().rsplit("\n\n", 1)[-1]
        yield Block(found[1], found[2], before)


def follow(page: Path, place: Path) -> None:
    """Do what a page says, in a folder; ``cp`` stands for copying on any system."""
    for kind, text, before in blocks(page):
        if kind == "sh":
            for line in text.splitlines():
                command(line, place)
        else:
            name = re.findall(r"`([\w./-]+\.(?:toml|json))`", before)[-1]
            old = (place / name).read_text(encoding="utf-8") if "dd to `" in before else ""
            (place / name).write_text(f"{old}\n{text}", encoding="utf-8")


def command(line: str, place: Path) -> None:
    words = shlex.split(line.removeprefix(".venv/bin/") if ".venv/bin/splitpin" in line else line)
    if words[0] == "cp":
        found = sorted(place.glob(words[1]))
        assert found, line
        for file in found:
            shutil.copy(file, place / words[2])
    elif words[0] == "splitpin":
        if words[1] == "new" and "--example" in words:
            write_example(place / words[2])
            return
        done = CliRunner().invoke(build(), words[1:])
        assert done.exit_code == 0, f"{line}\n{done.output}"
        if words[1] == "new":
            film = place / words[2] / "film.toml"
            large = film.read_text(encoding="utf-8")
            film.write_text(large.replace("[1920, 1080]", "[96, 54]"), encoding="utf-8")  # quicker to draw
    else:
        assert line.startswith(SETTING_UP), line


def write_example(folder: Path) -> None:
    """Quickly: a film of a few tiny pictures, with what the pages take from the example."""
    if folder.exists():
        return
    write_tiny(folder)
    for name in ("coins", "chelsea", "coffee", "brick"):
        source = found_path(name)
        shutil.copy(source, folder / "pictures" / f"{name}.png")
        (folder / "pictures" / f"{name}.toml").write_text(FOUND[name].toml(""), encoding="utf-8")
    (folder / "cutouts/cat-head.png").write_bytes(png(40, 40))
    (folder / "cutouts/cat-head.toml").write_text('format = 1\nwidth_mm = 118\npicture = "chelsea"\n')
    write_sound(folder, "clink")
    write_sound(folder, "mrow")


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_the_readme_can_be_followed(place: Path) -> None:
    follow(README, place)
    assert (place / "hello/made/hello.mp4").is_file()


def test_a_first_character_can_be_made_and_every_command_tried(place: Path) -> None:
    follow(FIRST, place)
    assert (place / "talk/made/exact-change-please.mp4").is_file()
    follow(COMMANDS, place)
    for name in ("straight.png", "coin.png", "patch.png", "cat.svg", "first.csv", "credits.txt"):
        assert (place / name).is_file()
    frames = place / "talk/made/exact-change-please-frames"
    assert sorted(f.name for f in frames.iterdir()) == [*(f"{n:06d}.png" for n in range(1, 121)), "mix.wav"]


def test_every_command_and_option_is_told() -> None:
    text = COMMANDS.read_text(encoding="utf-8")
    told = dict(re.findall(r"^## (\w+)\n(.*?)(?=^## |\Z)", text, re.DOTALL | re.MULTILINE))
    program = typer.main.get_command(build())
    assert isinstance(program, typer.core.TyperGroup)
    assert list(told) == list(program.commands)
    shared = {"--json", "--help", "-h"}
    for name, one in program.commands.items():
        options = {o for p in one.params for o in (*p.opts, *p.secondary_opts) if o.startswith("-")}
        missing = sorted(o for o in options - shared if not re.search(rf"`{o}\b", told[name]))
        assert missing == [], f"docs/commands.md, {name}"


def test_links_lead_somewhere() -> None:
    for page in PAGES:
        text = page.read_text(encoding="utf-8")
        for target in re.findall(r"\]\(([^)\s]+)\)", text):
            file, _, place = target.partition("#")
            there = page.parent / file if file else page
            assert there.exists(), f"{page.name}: {target}"
            if place:
                goal = there.read_text(encoding="utf-8")
                heads = [
                    re.sub(r"[^\w -]", "", h.lower()).replace(" ", "-")
                    for h in re.findall(r"^#+ (.*)$", goal, re.MULTILINE)
                ]
                assert place in heads or f'<a id="{place}">' in goal, f"{page.name}: {target}"
