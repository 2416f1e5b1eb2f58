"""Mistakes are told in our own words, once, where a person can mend them."""

from __future__ import annotations

import copy
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
import tomlkit
from tests.tinyfilm import CAT, DOCUMENTS, FILES, SEA, png, wav, write_tiny

from splitpin.folder.edit import Edit, apply
from splitpin.folder.kinds import kind_of
from splitpin.folder.load import FilmFolder, load
from splitpin.folder.mistake import FolderError, Mistake
from splitpin.folder.read import read
from splitpin.folder.sheets import expose_all

FOREIGN = re.compile(
    r"Input|should be|required|Extra|permitted|valid (?:string|integer|number|boolean|list|dict|tuple)"
    r"|pydantic|validation|dictionary|tuple|\bdict\b|\bNone\b|unable to|greater than|less than|\bb'|Traceback"
)
"""Words of the validator and of Python."""

WRONG: list[object] = [
    "x", "", 3, -3, 2.5, True, [], [1], [1, 2, 3], ["a"], [[1]], [{}], {}, {"a": 1}, {"x": {"y": 1}}, "a.b",
    "e" * 5000, [1, "x"], 10**30, float("nan"), 1e300,
]  # fmt: skip


def places(node: object, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    pairs = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    for key, inner in pairs:
        yield (*path, key)
        yield from places(inner, (*path, key))


def changed(data: dict[str, object], path: tuple[str | int, ...], value: object) -> bytes:
    new = copy.deepcopy(data)
    holder: object = new
    for step in path[:-1]:
        holder = holder[step]  # type: ignore[index]
    holder[path[-1]] = value  # type: ignore[index]
    return tomlkit.dumps(new).encode()


@pytest.mark.parametrize("file", DOCUMENTS)
def test_whatever_value_stands_anywhere_is_told_in_our_words(file: str) -> None:
    kind = kind_of(file)
    assert kind is not None
    data = tomllib.loads(DOCUMENTS[file])
    for path in places(data):
        for value in WRONG:
            for m in read(kind, file, changed(data, path, value)).mistakes:
                assert not FOREIGN.search(f"{m.found} | {m.expected} | {m.remedy}"), (path, value, m)


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return write_tiny(tmp_path / "tiny")


def put(root: Path, file: str, old: str, new: str) -> None:
    text = (root / file).read_text(encoding="utf-8")
    assert old in text
    (root / file).write_text(text.replace(old, new, 1), encoding="utf-8", newline="\n")


def mistakes(root: Path) -> list[Mistake]:
    folder = load(root)
    return [*folder.mistakes, *expose_all(folder).mistakes]


def only(root: Path) -> Mistake:
    (one,) = mistakes(root)
    return one


def warned(folder: FilmFolder) -> list[tuple[str, int | None]]:
    return [(w.file, w.line) for w in folder.warnings]


@pytest.mark.parametrize("place", ["sounds", "pictures", "scenes", "characters", "cutouts", "board"])
def test_a_folder_that_nobody_may_look_into_is_one_mistake(
    root: Path, monkeypatch: pytest.MonkeyPatch, place: str
) -> None:
    looked = Path.iterdir

    def iterdir(path: Path) -> Iterator[Path]:
        if path.name == place:
            raise PermissionError(13, "Permission denied")
        return looked(path)

    monkeypatch.setattr(Path, "iterdir", iterdir)
    folder = load(root)
    assert [(m.file, m.line) for m in folder.mistakes if m.file == place] == [(place, None)]
    assert not [m for m in folder.mistakes if "there is no" in m.found and f"{place}/" in m.expected]
    assert not [w for w in folder.warnings if f"{place}/" in w.expected]


@pytest.mark.parametrize("file", ["characters/cat.toml", "cutouts/ball.toml", "scenes/010-hill.toml"])
def test_a_document_that_is_no_toml_is_the_one_mistake_of_the_film(root: Path, file: str) -> None:
    put(root, file, "format = 1", "format = = 1")
    assert only(root).file == file


@pytest.mark.parametrize("slip", ["to = [10]", "to = [10, 20]\nwhi = 3", "to = [10, 20]\nease = [1, 2, 3]"])
def test_what_hangs_on_a_move_with_a_mistake_is_no_mistake(root: Path, slip: str) -> None:
    put(root, "scenes/010-hill.toml", 'move = "hold"', f'move = "slide"\n{slip}')
    assert {m.line for m in mistakes(root)} <= {29, 30}


def test_a_pair_of_one_is_told_as_a_list_that_is_too_short(root: Path) -> None:
    put(root, "scenes/010-hill.toml", 'move = "hold"', 'move = "slide"\nto = [10]')
    assert only(root)[1:4] == (29, "`to` is a list of 1", "a list of 2, each a number")


def test_a_move_that_is_no_word_is_a_mistake(root: Path) -> None:
    put(root, "scenes/010-hill.toml", 'move = "hold"', "move = []")
    assert "`move` is an empty list" in [m.found for m in mistakes(root)]


def test_keys_that_do_not_go_together_are_told_on_the_line_of_the_last(root: Path) -> None:
    put(root, "scenes/010-hill.toml", "frames = 6", "frames = 6\nseconds = 1.0")
    one = only(root)
    assert (one.line, one.found) == (9, "`frames` and `seconds`")


def test_a_table_that_stands_twice_is_told_plainly(root: Path) -> None:
    put(root, "scenes/010-hill.toml", "[cast.ball]", "[cast.cat]")
    assert only(root).found == "`[cast.cat]` stands here a second time"


def test_a_picture_that_is_gone_is_missed_where_it_is_named(root: Path) -> None:
    (root / "cutouts/ball.png").unlink()
    assert only(root)[:2] == ("characters/cat.toml", 6)
    (root / "cutouts/ball.png").write_bytes(FILES["cutouts/ball.png"])
    (root / "pictures/found.png").unlink()
    assert only(root)[:2] == ("cutouts/ball.toml", 3)


def test_a_sound_that_is_gone_is_one_warning_though_its_papers_are_there(root: Path) -> None:
    (root / "sounds/tick.wav").unlink()
    assert mistakes(root) == []
    assert warned(load(root)) == [("scenes/010-hill.toml", 33)]


def test_papers_of_a_sound_that_nobody_names_are_a_warning(root: Path) -> None:
    (root / "sounds/later.toml").write_text(DOCUMENTS["sounds/hum.toml"])
    assert mistakes(root) == []
    assert warned(load(root)) == [("sounds/later.toml", None)]


@pytest.mark.parametrize("data", [b"", wav(0, 900), b"hello there, this is no sound"])
def test_a_sound_that_is_not_good_is_told_once(root: Path, data: bytes) -> None:
    put(root, "film.toml", "hum.wav", "tick.wav")
    (root / "sounds/tick.wav").write_bytes(data)
    one = only(root)
    assert one.file == "sounds/tick.wav"
    assert not FOREIGN.search(one.found)


def test_a_picture_of_another_kind_can_be_renamed_but_not_a_cut_out(root: Path) -> None:
    from PIL import Image

    for file in ("board/hill.png", "cutouts/ball.png"):
        Image.new("RGB", (20, 20)).save(root / file, "JPEG")
    remedies = {m.file: m.remedy for m in mistakes(root)}
    assert remedies == {
        "board/hill.png": "save it as PNG, or rename it to hill.jpg",
        "cutouts/ball.png": "save it as PNG",
    }


def test_what_systems_leave_in_folders_is_passed_over(root: Path) -> None:
    for folder in ("cutouts", "pictures", "takes", "takes/010-hill", "sounds", "scenes"):
        for name in ("Thumbs.db", ".DS_Store", "desktop.ini"):
            (root / folder / name).write_bytes(b"x")
    assert (mistakes(root), warned(load(root))) == ([], [])


def test_what_lies_there_unused_is_a_warning(root: Path) -> None:
    (root / "scenes/030-spare.toml").write_text(SEA)
    (root / "cutouts/spare.png").write_bytes(png(4, 4))
    assert mistakes(root) == []
    assert warned(load(root)) == [("cutouts/spare.png", None), ("scenes/030-spare.toml", None)]


def test_a_pin_beside_its_picture_a_single_pixel_and_an_empty_pose_are_warnings(root: Path) -> None:
    (root / "characters/cat.toml").write_text(CAT.replace("neck = [3, 5]", "neck = [3, 7]"))
    (root / "cutouts/hill.png").write_bytes(png(1, 1))
    put(root, "scenes/010-hill.toml", '"hold"', '"posed"')
    put(root, "scenes/010-hill.toml", "positions = 2", "values = [{}]")
    assert mistakes(root) == []
    assert warned(load(root)) == [
        ("characters/cat.toml", 16),
        ("cutouts/hill.png", None),
        ("scenes/010-hill.toml", 30),
    ]


def test_a_name_is_as_long_as_its_bytes(root: Path) -> None:
    put(root, "scenes/010-hill.toml", "tick.wav", "é" * 130 + ".wav")
    assert "255 bytes" in only(root).expected


@pytest.mark.parametrize("name", ["CON", "nul", "020-SEA", "020-Sea"])
def test_no_document_is_made_that_some_computers_could_not_keep(root: Path, name: str) -> None:
    with pytest.raises(FolderError):
        apply(root, Edit(f"scenes/{name}.toml", (), {"format": 1}))
    assert len(list((root / "scenes").iterdir())) == 2


@pytest.mark.parametrize("ride", ["ball.piece.top", "ball.lid.top"])
def test_who_rides_on_a_bare_cut_out_is_told_how_to_give_it_a_pin(root: Path, ride: str) -> None:
    put(root, "scenes/010-hill.toml", 'rides = "cat.body.paw"', "")
    put(root, "scenes/010-hill.toml", "x = -20", f'x = -20\nrides = "{ride}"')
    one = only(root)
    assert one.line == 20
    assert '`cutout = "ball"` and `pins = { top = [x, y] }`' in one.remedy
