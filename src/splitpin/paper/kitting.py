"""All that the pages of a kit are laid out from."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from fractions import Fraction
from typing import NamedTuple, Protocol

from splitpin.character.figure import Figure
from splitpin.cutout.outline import Outline
from splitpin.measure.affine import Affine
from splitpin.measure.table import Stage
from splitpin.paper.page import Page, Type
from splitpin.paper.stock import Stock
from splitpin.scene.scene import Scene
from splitpin.sheet.sheet import Sheet
from splitpin.sheet.shooting.hours import Work


class Cut(NamedTuple):
    """A cut-out as paper."""

    name: str
    width: int
    """Of its picture, pixels."""
    height: int
    mm_per_px: float
    """Its true size."""
    outline: Outline
    """Its cut line, mm from the top left corner of its picture, y down, at that size."""

    def to_page(self, x: float, y: float, scale: float = 1.0) -> Affine:
        """The map from its pixels to a page, upright, its picture's top left corner at ``(x, y)``."""
        k = self.mm_per_px * scale
        return Affine(k, 0.0, 0.0, -k, x, y)


class Staged(NamedTuple):
    """A scene of the film, ready for the table."""

    name: str
    scene: Scene
    sheet: Sheet
    figures: Mapping[str, Figure]
    """Of each member of its cast, and of its background."""
    characters: Mapping[str, str]
    """Which character a member is, by its name in the cast; bare cut-outs are left out."""


class Kitting(NamedTuple):
    """The film, the paper, and how words lie on it."""

    title: str
    rate: Fraction
    stage: Stage
    scenes: tuple[Staged, ...]
    """Those asked for, in the order of the film."""
    cut: Callable[[str], Cut]
    """A cut-out by its name."""
    stock: Stock
    """At true scale: see :func:`splitpin.paper.stock.as_it_prints`."""
    type: Type
    peaks: Callable[[str], tuple[float, ...]]
    """The loudest sample of the mix in each frame of a scene, 0 to 1."""
    sight: Callable[[str, str], str] = lambda _scene, _panel: ""
    """The name of the picture that shows a panel, of the stage's size: its drawing, else how its pieces lie;
    empty where there is neither."""
    work: Callable[[], tuple[Work, ...]] = lambda: ()
    """What each set-up takes, in the order of shooting."""
    revision: str = ""
    """The date and the sum of the film's documents."""
    measured: float = 100.0
    """What a rule of 100 mm measured on this printer, mm."""


class Part(Protocol):
    """A part of the kit: one file of this room each."""

    def __call__(self, kitting: Kitting) -> Iterable[Page]:
        """Its pages, without their proof."""
