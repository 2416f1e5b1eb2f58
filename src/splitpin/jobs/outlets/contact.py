"""The outlet ``contact``: a contact sheet of the film."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

from splitpin.device.contact_writer import write_pdf, write_sheet
from splitpin.film.contact import lay_out
from splitpin.film.moments import Moment, moments, still
from splitpin.film.outlet import ContactOutlet
from splitpin.film.segments import Segment
from splitpin.jobs.outlets.drawn import CODING, draw_pictures, picture_name
from splitpin.jobs.shop import MadeOutlet, Order, Shop, gone


def order_contact(shop: Shop, name: str, outlet: ContactOutlet, path: Path) -> Order:
    """Plan a contact sheet: only the exposures that it shows are drawn."""
    sheets = [sheet for sheet in shop.ready.sheets if sheet.scene in shop.ready.scenes]
    found = moments(sheets, outlet.each, shop.film.exact_rate)
    stills = [still(shop.ready.segments, moment.shown) for moment in found]
    segments: list[tuple[str, Segment]] = [(shop.key(one, CODING), one) for one in stills]
    tasks: list[Callable[[], None]] = [
        partial(draw_pictures, shop, key, segment)
        for key, segment in segments
        if shop.wanted(key, segment, shop.store.pictures(key).is_dir())
    ]
    finish = partial(_finish, shop, name, outlet, found, [key for key, _ in segments], path)
    return Order(shop.uses(name, segments), tuple(tasks), finish)


def _finish(
    shop: Shop, name: str, outlet: ContactOutlet, found: tuple[Moment, ...], keys: list[str], path: Path
) -> MadeOutlet:
    film, stage = shop.film, shop.stage
    pictures = [shop.store.pictures(key) / picture_name(0) for key in keys]
    for picture in pictures:
        if not picture.is_file():
            raise gone(picture.parent.stem)
    pages = lay_out(
        film.title,
        found,
        film.exact_rate,
        shop.ready.frames,
        stage.width / stage.height,
        outlet.columns,
        pages=outlet.form == "pdf",
    )
    if outlet.form == "pdf":
        write_pdf(path, pages, pictures, film.title)
    else:
        write_sheet(path, pages[0], pictures)
    told = f"{len(found)} pictures, one for each {outlet.each}"
    told += f", {len(pages)} page{'s' if len(pages) > 1 else ''}" if outlet.form == "pdf" else ""
    return MadeOutlet(name, (path,), None, None, "", told)
