"""What stands on envelopes is what is printed, and what the rows lay on the table."""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path

import pytest
from shapely import Polygon, box
from tests.paper.pdf import read
from tests.tinyfilm import write_tiny

from splitpin.jobs.kit import kit, lay_out
from splitpin.jobs.new import new
from splitpin.jobs.ready import ready
from splitpin.paper.page import Page, Print, Stroke, Words
from splitpin.paper.stock import room_on


@pytest.fixture(scope="module")
def example(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("envelopes") / "exact-change"
    new(root, example=True)
    return root


def texts(page: Page) -> list[str]:
    return [mark.text for mark in page.marks if isinstance(mark, Words)]


def test_an_envelope_lists_each_piece_as_often_as_it_is_printed(example: Path) -> None:
    laid = lay_out(example, only=["pieces", "envelopes"])
    printed = Counter(
        mark.picture
        for page in laid.pages
        if page.title.startswith("Pieces")
        for mark in page.marks
        if isinstance(mark, Print) and not mark.clip
    )
    film = ready(example)
    most: Counter[tuple[str, str]] = Counter()
    for sheet in film.sheets:
        scene = film.folder.scenes[sheet.scene]
        for row in sheet.rows:
            for placed in row.placed:
                if placed.who in scene.cast and scene.cast[placed.who].character:
                    most[str(scene.cast[placed.who].character), placed.cutout] |= 1
    pages = [page for page in laid.pages if page.part == "envelopes"]
    titles = {str(c.title or name): name for name, c in film.folder.characters.items()}
    seen = set()
    for page in pages:
        name = titles.get(page.title.removeprefix("Envelope: "))
        if name is None:
            continue
        seen.add(name)
        counts = [re.fullmatch(r"(\d+)(?: \+ \d+ spares?)?", text) for text in texts(page)]
        listed = sum(int(count[1]) for count in counts if count)
        assert listed == sum(1 for who, _ in most if who == name), name
        for _, cutout in (key for key in most if key[0] == name):
            assert printed[f"cutouts/{cutout}.png"] >= 1 or name == "title"
    assert seen == {who for who, _ in most}


def test_scenes_pins_and_spares_are_told(example: Path) -> None:
    pages = [page for page in lay_out(example, only=["envelopes"]).pages if page.part == "envelopes"]
    cup = next(page for page in pages if page.title == "Envelope: The cup")
    said = " ".join(texts(cup))
    film = ready(example).folder
    for name in film.film.scenes:
        member = any(one.character == "cup" for one in film.scenes[name].cast.values())
        assert (name in said) is member
    hung = sum(1 for piece in film.characters["cup"].pieces.values() if piece.on and piece.pin)
    assert f"{hung} split pins" in said
    loose = next(page for page in pages if page.title == "Envelope: loose pieces")
    assert any("spare" in text for text in texts(loose))


@pytest.mark.parametrize("paper", ["A4", "Letter", "A3"])
def test_an_envelope_can_be_folded_and_lies_on_its_page(tmp_path: Path, paper: str) -> None:
    root = write_tiny(tmp_path / "tiny")
    for page in lay_out(root, paper=paper, only=["envelopes", "label"]).pages:
        room = room_on(page.stock)
        inside = box(room.x, room.y, room.right, room.top).buffer(0.01)
        for mark in page.marks:
            if isinstance(mark, Stroke) and mark.use in ("cut", "score"):
                assert all(inside.covers(Polygon([p, (p[0] + 1e-6, p[1]), p])) for p in mark.points)
        folds = [m for m in page.marks if isinstance(m, Stroke) and m.use == "score"]
        if page.part == "envelopes" and folds:
            (top, foot), sides = folds[:2], folds[2:]
            (x0, y0), (x1, y1) = foot.points
            face = y0
            # folded at its foot, the back covers the face: as high, as wide
            assert top.points[0][1] - face == pytest.approx(sides[0].points[1][1] - sides[0].points[0][1])
            assert (x0, x1) == pytest.approx((sides[0].points[0][0], sides[1].points[0][0]))
            assert y0 == y1


def test_the_label_tells_the_film_by_an_independent_reader(example: Path, tmp_path: Path) -> None:
    done = kit(example, only=["label"], file=tmp_path / "label.pdf")
    words = read(done.file or Path())[-1].words
    film = ready(example)
    frames = sum(sheet.frames for sheet in film.sheets)
    assert film.folder.film.title in words
    assert f"{frames} frames at 24 a second" in words
    for sheet in film.sheets:
        assert sheet.scene in words


def test_names_in_greek_and_cyrillic_stand_there_and_japanese_ones_are_told_of(tmp_path: Path) -> None:
    root = write_tiny(tmp_path / "tiny")
    cat = root / "characters/cat.toml"
    text = cat.read_text(encoding="utf-8").replace('"Cat"', '"Γάτα кошка 猫"')
    cat.write_text(text, encoding="utf-8")
    done = kit(root, only=["envelopes"], file=tmp_path / "kit.pdf")
    words = " ".join(page.words for page in read(done.file or Path()))
    assert "Γάτα кошка" in words
    assert any("猫" in note for note in done.notes)
