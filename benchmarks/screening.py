"""How fast a film is screened for flashes: seconds of film for a second of work, and the memory it takes.

    python benchmarks/screening.py [MOVIE]

Without a film one of 1080p is made of moving texture, 20 s and 60 s long; memory must be the same for both.
"""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import av
import numpy as np

from splitpin.jobs.screen import screen


def texture(path: Path, seconds: int) -> Path:
    """A film of 1080p at 24 frames a second: a slow pan over a texture."""
    random = np.random.default_rng(3)
    wall = np.kron(random.integers(40, 220, (120, 400, 3)), np.ones((10, 10, 1))).astype(np.uint8)
    with av.open(str(path), "w") as film:
        stream = film.add_stream("libx264", rate=24, options={"preset": "veryfast", "crf": "20"})
        stream.width, stream.height, stream.pix_fmt = 1920, 1080, "yuv420p"
        for n in range(24 * seconds):
            at = (3 * n) % 2000
            picture = np.ascontiguousarray(wall[60:1140, at : at + 1920])
            film.mux(stream.encode(av.VideoFrame.from_ndarray(picture, format="rgb24")))
        film.mux(stream.encode(None))
    return path


def measure(path: Path) -> None:
    """Print what a screening took."""
    begun = time.perf_counter()
    found = screen(path)
    took = time.perf_counter() - begun
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    size = f"{found.film.width}x{found.film.height}"
    print(
        f"{path.name}: {size}, {float(found.verdict.seconds):.1f} s in {took:.1f} s: "
        f"{float(found.verdict.seconds) / took:.1f} "
        f"times real time, {memory:.0f} MB, {'passed' if found.passed else 'flashes found'}"
    )


def main() -> None:
    """Measure one film, or two that are made for it, each in a process of its own."""
    if sys.argv[1:]:
        measure(Path(sys.argv[1]))
        return
    with tempfile.TemporaryDirectory() as place:
        for seconds in (20, 60):
            path = texture(Path(place) / f"{seconds}s.mp4", seconds)
            for _ in range(2):
                subprocess.run([sys.executable, __file__, str(path)], check=True)  # noqa: S603 (ourselves)


if __name__ == "__main__":
    main()
