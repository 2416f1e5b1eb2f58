"""Outlets: one file for each kind of form in which a film is delivered.

Comes in: the shop with all that is kept, an outlet, the sound. Goes out: an order, which is what must be done
first, in any order, and the step that puts the outlet together.
"""

from __future__ import annotations

from pathlib import Path
from typing import assert_never

from splitpin.film.outlet import (
    AnyOutlet,
    ContactOutlet,
    FilmOutlet,
    LoopOutlet,
    MasterOutlet,
    PicturesOutlet,
    SoundOutlet,
    TimelineOutlet,
)
from splitpin.jobs.outlets.contact import order_contact
from splitpin.jobs.outlets.film import order_film
from splitpin.jobs.outlets.loop import order_loop
from splitpin.jobs.outlets.master import order_master
from splitpin.jobs.outlets.pictures import order_pictures
from splitpin.jobs.outlets.sound import order_sound
from splitpin.jobs.outlets.timeline import order_timeline
from splitpin.jobs.shop import Order, Shop
from splitpin.jobs.sounding import Sounding


def order(shop: Shop, name: str, outlet: AnyOutlet, sound: Sounding, path: Path) -> Order:
    """Plan an outlet: what of it is kept, and what must be made.

    Parameters
    ----------
    shop
        Where the film is made.
    name
        What the outlet is called.
    outlet
        What it is.
    sound
        The sound of the scenes asked for.
    path
        Where it goes.
    """
    match outlet:
        case ContactOutlet():
            return order_contact(shop, name, outlet, path)
        case FilmOutlet():
            return order_film(shop, name, outlet, sound, path)
        case LoopOutlet():
            return order_loop(shop, name, outlet, path)
        case MasterOutlet():
            return order_master(shop, name, outlet, sound, path)
        case PicturesOutlet():
            return order_pictures(shop, name, outlet, sound, path)
        case SoundOutlet():
            return order_sound(shop, name, outlet, sound, path)
        case TimelineOutlet():
            return order_timeline(shop, name, outlet, sound, path)
        case _:
            assert_never(outlet)
