"""Print the kit for a paper shoot: everything that goes on the table, at true scale."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import UTC, datetime
from functools import cache
from hashlib import blake2b
from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from splitpin.cutout.mistake import CutError
from splitpin.cutout.outline import outline
from splitpin.device.page_writer import Face, texts_of, write_pages
from splitpin.device.pictures import PictureError, read_picture
from splitpin.device.plotter_writer import plotter_svg
from splitpin.folder.load import FilmFolder
from splitpin.folder.mistake import FolderError, Mistake
from splitpin.folder.save import write_whole
from splitpin.jobs.hours import hours_of
from splitpin.jobs.names import file_stem
from splitpin.jobs.output import refuse_output
from splitpin.jobs.peaks import peaks_of
from splitpin.jobs.ready import Ready, RefusedError, ready
from splitpin.jobs.shop import Shop
from splitpin.jobs.sights import is_sight, seen, sight_of
from splitpin.measure.likely import likely
from splitpin.paper.duplex import paired
from splitpin.paper.kitting import Cut, Kitting, Part, Staged
from splitpin.paper.page import Page
from splitpin.paper.parts import ASKED, CARD, PARTS
from splitpin.paper.proof import Stamp, card_page, proofed
from splitpin.paper.stock import STOCKS, as_it_prints, fault_of_measure

LINE_MM = 0.15
"""How far a printed cut line may lie beside the edge, mm: what a blade follows."""


class Kit(NamedTuple):
    """A kit, written."""

    file: Path | None
    """The PDF; None when it was only counted."""
    pages: Mapping[str, int]
    """How many pages each part has."""
    stock: str
    notes: tuple[str, ...]
    """What a person should know."""
    cost: Cost
    """How much paper it takes."""
    plotter: tuple[Path, ...] = ()
    """What a plotter cuts and scores, a file for each sheet of pieces."""


class Cost(NamedTuple):
    """The paper that a kit takes, printed on both sides where pages are backs."""

    card: int
    """Sheets of card."""
    paper: int
    """Sheets of paper."""
    square_metres: float


class Laid(NamedTuple):
    """A kit, laid out."""

    pages: tuple[Page, ...]
    """With their proof, numbered."""
    counts: Mapping[str, int]
    face: Face
    notes: tuple[str, ...]
    ready: Ready


def lay_out(
    root: Path,
    scenes: Sequence[str] | None = None,
    paper: str = "A4",
    only: Sequence[str] | None = None,
    measured: float = 100.0,
    font: Path | None = None,
    doing: Callable[[str], None] | None = None,
) -> Laid:
    """Lay a kit out without writing it.

    Parameters
    ----------
    root
        The film folder.
    scenes
        Scenes of the film; all when left out.
    paper
        One of :data:`splitpin.paper.stock.STOCKS`.
    only
        Parts of :data:`splitpin.paper.parts.PARTS`; when left out all but those that take much paper. The
        page that proves the scale is always there.
    measured
        What a printed rule of 100 mm measured, mm.
    font
        A TrueType font for letters that splitpin's own does not have.
    doing
        Told in a few words what is being done.

    Raises
    ------
    FolderError
        When a name, a number or the font is none.
    RefusedError
        While the film has mistakes.
    """
    tell = doing or (lambda _: None)
    stock = next((one for name, one in STOCKS.items() if name.lower() == paper.lower()), None)
    if stock is None:
        raise FolderError("--paper", f"{paper!r}", f"one of {', '.join(STOCKS)}", likely(paper, STOCKS))
    wanted = [name for name in PARTS if name not in ASKED] if only is None else list(dict.fromkeys(only))
    for name in wanted:
        if name not in PARTS:
            raise FolderError("--only", f"{name!r}", f"one of {', '.join(PARTS)}", likely(name, PARTS))
    fault = fault_of_measure(measured)
    if fault is not None:
        raise FolderError("--measured", fault.found, fault.expected, fault.remedy)
    face = Face(font)
    tell("reading the film")
    film = ready(root, scenes)
    folder = film.folder
    shop = cache(lambda: Shop(film))
    kitting = Kitting(
        folder.film.title,
        folder.film.exact_rate,
        folder.film.stage,
        tuple(_staged(film, name) for name in film.scenes),
        cache(lambda name: _cut(folder, name)),
        as_it_prints(stock, measured),
        face,
        _peaks(shop),
        cache(lambda scene, panel: sight_of(film, scene, panel)),
        lambda: hours_of(film).work,
        revision(folder),
        measured,
    )
    pages = [card_page(kitting.stock, measured)]
    for name in wanted:
        tell(f"laying out: {name}")
        part: Part = PARTS[name]
        pages += part(kitting)
    stamp = Stamp(folder.film.title, kitting.revision)
    pages = paired(pages)
    done = tuple(proofed(page, n + 1, len(pages), stamp) for n, page in enumerate(pages))
    counts: dict[str, int] = {}
    for page in done:
        counts[page.part] = counts.get(page.part, 0) + 1
    return Laid(done, counts, face, tuple(_unknown(face, done, font)), film)


def kit(
    root: Path,
    scenes: Sequence[str] | None = None,
    paper: str = "A4",
    only: Sequence[str] | None = None,
    file: Path | None = None,
    *,
    measured: float = 100.0,
    font: Path | None = None,
    plotter: bool = False,
    again: bool = False,
    count: bool = False,
    progress: Callable[[int, int], None] | None = None,
    doing: Callable[[str], None] | None = None,
) -> Kit:
    """Print the kit of a film, or of some of its scenes.

    Parameters
    ----------
    root, scenes, paper, only, measured, font, doing
        As :func:`lay_out` takes them.
    file
        Where the PDF goes; ``made/TITLE-kit.pdf`` of the film when left out, which is written over.
    plotter
        Write for each sheet of pieces what a plotter cuts, beside the PDF: ``…-cut-1.svg``.
    again
        Write over files of those names.
    count
        Only count the pages; nothing is written.
    progress
        Told how many pages of how many are written.

    Raises
    ------
    FolderError, RefusedError
        As :func:`lay_out` does, and when nothing can be written there.
    """
    if file is not None and not count:
        refuse_output(file, [".pdf"], again=again)
    laid = lay_out(root, scenes, paper, only, measured, font, doing)
    spent = cost(laid.pages)
    if count:
        return Kit(None, laid.counts, laid.pages[0].stock.name, laid.notes, spent)
    title = laid.ready.folder.film.title
    if file is None:
        file = kit_file(root, title)
        file.parent.mkdir(exist_ok=True)
    cuts = _cuts(file, laid, again=again) if plotter else {}
    (doing or (lambda _: None))("writing the pages")
    shop = cache(lambda: Shop(laid.ready))

    @cache
    def pictures(name: str) -> NDArray[np.uint8]:
        return seen(shop(), name) if is_sight(name) else _picture(root, name)

    write_pages(file, laid.pages, laid.face, pictures, f"{title}: kit", measured, progress)
    for cut, page in cuts.items():
        write_whole(cut, plotter_svg(page).encode())
    return Kit(file, laid.counts, laid.pages[0].stock.name, laid.notes, spent, tuple(cuts))


def kit_file(root: Path, title: str) -> Path:
    """Where the kit of a film goes."""
    return root / "made" / f"{file_stem(title)}-kit.pdf"


def cost(pages: Sequence[Page]) -> Cost:
    """What pages cost in paper; a back is printed on the sheet of the page before it."""
    sheets = [page for page in pages if page.proof]
    card = sum(page.part in CARD for page in sheets)
    area = sum(page.stock.width * page.stock.height for page in sheets) / 1e6
    return Cost(card, len(sheets) - card, round(area, 3))


def _cuts(file: Path, laid: Laid, *, again: bool) -> dict[Path, Page]:
    """Where what a plotter cuts goes, by the files."""
    sheets = [page for page in laid.pages if page.part in CARD and page.proof]
    if not sheets:
        raise FolderError("--plotter", "no sheet of pieces in the kit", "pieces", "say --only pieces, too")
    files = {file.with_name(f"{file.stem}-cut-{n + 1}.svg"): page for n, page in enumerate(sheets)}
    for one in files:
        # what lies in made/ under our own names is written over, as the kit itself
        refuse_output(one, [".svg"], again=again or one.parent == laid.ready.folder.root / "made")
    return files


def revision(folder: FilmFolder) -> str:
    """The film's revision: the day of its newest document, and a sum of all of them."""
    files = sorted(folder.documents)
    newest = max((folder.root / name).stat().st_mtime for name in files)
    total = blake2b(digest_size=4)
    for name in files:
        total.update(name.encode() + b"\0" + (folder.root / name).read_bytes() + b"\0")
    return f"{datetime.fromtimestamp(newest, UTC):%Y-%m-%d} · {total.hexdigest()}"


def _staged(film: Ready, name: str) -> Staged:
    scene = film.folder.scenes[name]
    sheet = next(sheet for sheet in film.sheets if sheet.scene == name)
    characters = {who: member.character for who, member in scene.cast.items() if member.character is not None}
    return Staged(name, scene, sheet, film.folder.figures(name), characters)


def _peaks(shop: Callable[[], Shop]) -> Callable[[str], tuple[float, ...]]:
    """Mixed only when a part asks for it."""
    found = cache(lambda: peaks_of(shop()))
    return lambda scene: found()[scene]


def _cut(folder: FilmFolder, name: str) -> Cut:
    cutout = folder.cutouts[name]
    rgba = _picture(folder.root, f"cutouts/{name}.png")
    alpha = rgba[..., 3] if rgba.shape[2] == 4 else np.full(rgba.shape[:2], 255, np.uint8)
    try:
        line = outline(np.ascontiguousarray(alpha), cutout.mm_per_px, LINE_MM)
    except CutError as problem:
        raise RefusedError(
            [Mistake(f"cutouts/{name}.png", None, problem.found, problem.expected, problem.remedy)]
        ) from None
    return Cut(name, cutout.width, cutout.height, cutout.mm_per_px, line)


def _picture(root: Path, name: str) -> NDArray[np.uint8]:
    try:
        return read_picture((root / name).read_bytes())
    except OSError as problem:
        why = problem.strerror or type(problem).__name__
        raise FolderError(name, f"it cannot be read ({why})", "a picture", "put it back") from problem
    except PictureError as problem:
        raise FolderError(name, problem.found, problem.expected, problem.remedy) from problem


def _unknown(face: Face, pages: Sequence[Page], font: Path | None) -> list[str]:
    letters = face.unknown(texts_of(pages))
    if not letters:
        return []
    what = "the kit's type" if font is None else font.name
    return [f"{what} has no {' '.join(letters[:12])}: they are printed as boxes; name a font with --font"]
