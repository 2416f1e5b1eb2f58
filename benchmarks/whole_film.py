"""What a whole film costs: time against the mere encoding of its frames, after a change, memory, the sheet.

Run: ``python benchmarks/whole_film.py [a] [b] [c] [c-full] [d]``; without words a, b, c and d. Every ratio
is of two things measured in the same run, one right after the other; machines differ, ratios hardly.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from fractions import Fraction
from functools import partial
from pathlib import Path
from statistics import median
from time import perf_counter

import av
import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.signal import lfilter

import splitpin
from splitpin.character.figure import lone
from splitpin.cutout.cutout import Cutout
from splitpin.device.coded import Coded
from splitpin.device.film_join import join_film
from splitpin.device.film_picture import PictureTrack, SegmentCoder
from splitpin.device.film_sound import code_sound
from splitpin.device.pictures import write_png
from splitpin.device.soundfile_writer import write_wav
from splitpin.film.outlet import FilmOutlet
from splitpin.film.segments import Segment
from splitpin.frames.warm import warm_up
from splitpin.jobs.ready import ready
from splitpin.jobs.workers import Stop, cores, run_all
from splitpin.measure.table import Stage
from splitpin.scene.scene import Scene
from splitpin.sheet.expose import expose

Frame = NDArray[np.uint8]
PIECES = 12
SIDE = 600


def write_film(
    folder: Path, size: tuple[int, int], scenes: int, seconds: float, effort: str, pieces: int = PIECES
) -> None:
    """A film of scenes in which every piece moves on every exposure, on twos, over a background."""
    rng = np.random.default_rng(1)
    for name in ("cutouts", "scenes", "sounds"):
        (folder / name).mkdir(parents=True)
    ground = cv2.GaussianBlur(rng.integers(0, 256, (1080, 1920, 3), np.uint8), (0, 0), 1.5)
    _cutout(folder, "ground", np.dstack([ground, np.full((1080, 1920), 255, np.uint8)]), 400)
    y, x = np.mgrid[:SIDE, :SIDE] - (SIDE - 1) / 2
    for i in range(pieces):
        rgb = cv2.GaussianBlur(rng.integers(0, 256, (SIDE, SIDE, 3), np.uint8), (0, 0), 2)
        alpha = np.clip((SIDE / 2 - 2 - np.hypot(x, y)) * 255, 0, 255).astype(np.uint8)
        _cutout(folder, f"p{i}", np.dstack([rgb, alpha]), 87)  # twelve of 87 mm cover about 2.1 Mpx of 1080p
    # Noise that falls off to the treble as music does: a coder with loss has an ordinary day.
    walk = lfilter([1.0], [1.0, -0.97], rng.standard_normal((48_000, 2)), axis=0)
    sound = (0.1 * walk / walk.std()).astype(np.float32)
    write_wav(folder / "sounds" / "noise.wav", [sound])
    names = [f"s{i:02d}" for i in range(scenes)]
    for name in names:
        (folder / "scenes" / f"{name}.toml").write_text(_scene(pieces, seconds, rng), encoding="utf-8")
    (folder / "film.toml").write_text(
        f'format = 1\ntitle = "Bench"\npicture = [{size[0]}, {size[1]}]\nfield_mm = 400\n'
        f"scenes = {names!r}\n"
        'cues = [{ sound = "noise.wav", loop = true, kind = "music" }]\n'
        f'[outlets.web]\neffort = "{effort}"\n',
        encoding="utf-8",
    )


def _cutout(folder: Path, name: str, rgba: Frame, mm: float) -> None:
    write_png(folder / "cutouts" / f"{name}.png", rgba)
    (folder / "cutouts" / f"{name}.toml").write_text(f"format = 1\nwidth_mm = {mm}\n", encoding="utf-8")


def _scene(pieces: int, seconds: float, rng: np.random.Generator) -> str:
    lines = ["format = 1", 'background = "ground"', f'[[panels]]\nname = "all"\nseconds = {seconds}']
    for i in range(pieces):
        x, y = rng.uniform(-150, 150), rng.uniform(-70, 70)
        # Seven centimetres in ten seconds, and a quarter turn: half a millimetre a position.
        dx, dy = rng.uniform(-70, 70), rng.uniform(-20, 20)
        lines.append(f'[cast.p{i}]\ncutout = "p{i}"\nx = {x:.2f}\ny = {y:.2f}')
        lines.append(
            f'[[moves]]\nname = "go{i}"\nmove = "slide"\nwho = "p{i}"\nseconds = {seconds}\n'
            f'ease = "even"\nby = [{dx:.2f}, {dy:.2f}]'
        )
        lines.append(
            f'[[moves]]\nname = "turn{i}"\nmove = "bend"\nwho = "p{i}"\nseconds = {seconds}\n'
            'ease = "even"\nby = 90'
        )
    return "\n".join(lines)


# a: the whole film against the encoding of its ready frames


def encode_only(folder: Path, frames: list[Frame], target: Path) -> None:
    """The same segments by the same encoder on the same workers, out of frames that lie in memory."""
    plan = ready(folder)
    film = plan.folder.film
    outlet = film.outlets["web"]
    if not isinstance(outlet, FilmOutlet):
        raise TypeError("the outlet web is no film")
    track = PictureTrack(*film.picture, film.exact_rate, outlet.quality, outlet.effort)
    coded: dict[int, Coded] = {}
    exposures = [frames[segment.first : segment.first + segment.frames] for segment in plan.segments]
    run_all(
        [
            partial(_encode, track, segment, pictures, coded)
            for segment, pictures in zip(plan.segments, exposures, strict=True)
        ],
        cores(),
        Stop(),
    )
    silence = code_sound([np.zeros((48_000, 2), np.float32)])
    join_film(target, track, (coded[s.first] for s in plan.segments), silence, {})


def _encode(track: PictureTrack, segment: Segment, frames: list[Frame], coded: dict[int, Coded]) -> None:
    coder = SegmentCoder(track)
    at = 0
    for exposure in segment.exposures:
        # A held frame is converted once, as the film does: anything else would flatter it.
        rgb = av.VideoFrame.from_ndarray(frames[at], format="rgb24")
        yuv = rgb.reformat(format="yuv420p", dst_colorspace="ITU709", dst_color_range="MPEG")
        for plane, into in zip(yuv.planes, (coder.luma, coder.blue, coder.red), strict=True):
            lines = np.asarray(memoryview(plane)).reshape(plane.height, plane.line_size)
            into[:] = lines[:, : plane.width]
        coder.hold(exposure.row.frames)
        at += exposure.row.frames
    coded[segment.first] = coder.finish()


def timed(work: Callable[[], object]) -> float:
    """Seconds."""
    start = perf_counter()
    work()
    return perf_counter() - start


def whole_against_encoding(folder: Path, effort: str) -> str:
    film = folder / f"a-{effort}"
    write_film(film, (1920, 1080), 1, 10, effort)
    frames = list(splitpin.open(film).frames())
    ratios, wholes, encodes = [], [], []
    for i in range(3):
        encodes.append(timed(partial(encode_only, film, frames, folder / "encoded.mp4")))
        wholes.append(timed(partial(_afresh, film)))
        ratios.append(wholes[-1] / encodes[-1])
        print(f"  {effort} {i + 1}: film {wholes[-1]:.2f} s, encoding {encodes[-1]:.2f} s", flush=True)
    return (
        f"a  whole film ÷ encoding, {effort:<5}  {median(ratios):5.2f}   (≤ 1.25)   "
        f"{median(wholes):.1f} s / {median(encodes):.1f} s"
    )


def _afresh(film: Path) -> None:
    for path in (film / "made").rglob("*"):
        if path.is_file():
            path.unlink()
    splitpin.open(film).make()


# b: after a change in one scene of ten


def after_a_change(folder: Path) -> str:
    film = folder / "b"
    write_film(film, (1920, 1080), 10, 10, "draft")
    full = timed(lambda: splitpin.open(film).make())
    scene = film / "scenes" / "s04.toml"
    scene.write_text(scene.read_text(encoding="utf-8").replace("by = 90", "by = 91", 1), encoding="utf-8")
    made = None

    def again() -> None:
        nonlocal made
        made = splitpin.open(film).make()

    part = timed(again)
    kept, new = (made.counts.segments_reused, made.counts.segments_made) if made else (0, 0)
    return (
        f"b  one scene of ten changed          {part / full:5.3f}   (≤ 0.15)   {part:.1f} s / {full:.1f} s, "
        f"segments {new} made, {kept} kept"
    )


# c: memory

PEAK = """
import resource, sys
import splitpin
made = splitpin.open(sys.argv[1]).make()
scale = 1 if sys.platform == "darwin" else 1024
print(made.frames, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * scale)
"""


def memory(folder: Path, size: tuple[int, int]) -> str:
    peaks = []
    for seconds, scenes in ((10, 1), (600, 60)):
        film = folder / f"c-{size[0]}-{seconds}"
        write_film(film, size, scenes, 10, "draft", pieces=3)
        done = subprocess.run(  # noqa: S603  (our own interpreter)
            [sys.executable, "-c", PEAK, str(film)], capture_output=True, text=True, check=True
        )
        frames, peak = map(int, done.stdout.split())
        peaks.append(peak)
        print(f"  {size[0]} × {size[1]}, {frames} frames: {peak / 1e6:.0f} MB", flush=True)
    return (
        f"c  peak of 10 min ÷ of 10 s, {size[0]:>4} px  {peaks[1] / peaks[0]:5.2f}   (≤ 1.20)   "
        f"{peaks[1] / 1e6:.0f} MB / {peaks[0] / 1e6:.0f} MB"
    )


# d: a long sheet


def long_sheet() -> str:
    figure = lone("p", Cutout("p", 600, 600, 0.1))
    moves = [
        {"name": f"go{i}", "move": "slide", "who": "p", "start": i * 20.0, "seconds": 10.0, "by": [9.0, 1.0]}
        for i in range(40)
    ]
    scene = Scene.model_validate(
        {
            "format": 1,
            "panels": [{"name": "all", "frames": 20_000}],
            "cast": {who: {"cutout": "p"} for who in ("p", "q", "r")},
            "moves": moves,
        }
    )
    figures = dict.fromkeys(("p", "q", "r"), figure)
    stage = Stage(1920, 1080, 400.0)
    times = []
    for _ in range(3):
        start = perf_counter()
        exposed = expose("long", scene, figures, stage, Fraction(24), 2)
        times.append(perf_counter() - start)
    rows = len(exposed.sheet.rows)
    return f"d  a sheet of {rows} exposures        {median(times):5.2f} s (< 1 s)"


def measure(which: list[str]) -> Iterator[str]:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        warm_up()
        if "a" in which:
            yield whole_against_encoding(folder, "fine")
            yield whole_against_encoding(folder, "draft")
        if "b" in which:
            yield after_a_change(folder)
        if "c" in which:
            yield memory(folder, (320, 180))
        if "c-full" in which:
            yield memory(folder, (1920, 1080))
        if "d" in which:
            yield long_sheet()


if __name__ == "__main__":
    table = list(measure(sys.argv[1:] or ["a", "b", "c", "d"]))
    print()
    print("\n".join(table))
