"""The outlet ``timeline``: the film for editing programs, as OpenTimelineIO and as an edit decision list."""

from __future__ import annotations

import os
from functools import partial
from pathlib import Path

from splitpin.device.editing_room import EDL_RATES, Media, timeline_of, write_edl, write_otio
from splitpin.film.assembly import assemble
from splitpin.film.opening import opening
from splitpin.film.outlet import FilmOutlet, MasterOutlet, TimelineOutlet
from splitpin.folder.save import write_whole
from splitpin.jobs.names import outlets_of, path_of
from splitpin.jobs.shop import MadeOutlet, Order, Shop
from splitpin.jobs.sounding import Sounding
from splitpin.measure.timecode import DROPPED, frame_of

LEFT_OUT = "the EDL holds scenes and panels only, the OTIO file also the sounds"
NO_EDL = "no EDL: at 12 frames a second there is none"


def order_timeline(shop: Shop, name: str, outlet: TimelineOutlet, sound: Sounding, path: Path) -> Order:
    """Plan a timeline: it is read off the sheets, so that there is nothing to do beforehand."""
    return Order(shop.uses(name, []), (), partial(_finish, shop, name, outlet, sound, path))


def _finish(shop: Shop, name: str, outlet: TimelineOutlet, sound: Sounding, path: Path) -> MadeOutlet:
    film, ready = shop.film, shop.ready
    assembly = assemble(ready.sheets, ready.scenes, sound.voicings, sound.lengths, film.exact_rate)
    shown, starts = _film(shop)
    sounds = {
        name: Path(os.path.relpath(shop.root / "sounds" / name, path.parent)).as_posix()
        for name in sound.lengths
    }
    media = Media(shown, starts, sounds, sound.lengths)
    timeline = timeline_of(film.title, assembly, media, outlet.timecode)
    edl = path.with_suffix(".edl")
    write_whole(path, write_otio(timeline))
    files = [path]
    if film.exact_rate in EDL_RATES:
        write_whole(edl, write_edl(film.title, assembly, media, outlet.timecode))
        files.append(edl)
    else:
        edl.unlink(missing_ok=True)
    scenes, panels = len(assembly.scenes), sum(len(scene.marks) for scene in assembly.scenes)
    told = f"{scenes} scenes, {panels} panels, {len(assembly.tracks)} tracks of sound; "
    told += LEFT_OUT if len(files) > 1 else NO_EDL
    if film.exact_rate in DROPPED:
        told += "; drop-frame labels" if ";" in outlet.timecode else "; labels without drop-frame"
    return MadeOutlet(name, tuple(files), None, None, "", told)


def _film(shop: Shop) -> tuple[str, int]:
    """The file in which the film is seen, and the time code of the film's first frame in it."""
    film = shop.film
    rate, alone = film.exact_rate, shop.ready.scenes if shop.ready.alone else None
    for name, outlet in outlets_of(film).items():
        if isinstance(outlet, FilmOutlet):
            return path_of(film, name, alone).name, opening(outlet.opens, rate).frames
        if isinstance(outlet, MasterOutlet) and outlet.shown_at(rate) == rate:
            return path_of(film, name, alone).name, frame_of(outlet.timecode, rate)
    return path_of(film, "web", alone).name, 0
