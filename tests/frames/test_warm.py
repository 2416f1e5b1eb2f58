"""Compiling before it is needed."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

import splitpin
from splitpin.frames.warm import STEPS, warm_up


def test_warming_up_tells_how_far_it_is() -> None:
    told: list[tuple[int, int]] = []
    warm_up(lambda done, steps: told.append((done, steps)))
    assert told == [(i, STEPS) for i in range(STEPS + 1)]


def test_drawing_after_it_compiles_nothing() -> None:
    code = (
        "import numpy as np\n"
        "from splitpin.frames import kernels as k, levels as l\n"
        "from splitpin.frames.warm import warm_up\n"
        "from splitpin.device.stills import card_font\n"
        "from splitpin.frames.standin import card, fit\n"
        "from splitpin.frames.yuv import Planes\n"
        "from splitpin.measure.table import Stage\n"
        "warm_up()\n"
        "all = (k.lay, k.develop, k.separate, l.premultiply, l.halve, l.occupy)\n"
        "count = lambda: [len(kernel.signatures) for kernel in all]\n"
        "before = count()\n"
        "frame = fit(card(Stage(320, 180, 1.0), 'words', font=card_font()), Stage(64, 36, 1.0))\n"
        "frozen = np.zeros((700, 900, 3), np.uint8)\n"
        "frozen.flags.writeable = False\n"
        "fit(frozen, Stage(64, 36, 1.0))\n"
        "Planes(64, 36).update(frame)\n"
        "print(before == count(), before)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.startswith("True [1, 1, 1, 1, 1, 1]")


@pytest.mark.parametrize("home_can_be_written", [True, False])
def test_a_package_folder_that_cannot_be_written_is_no_hindrance(
    tmp_path: Path, home_can_be_written: bool
) -> None:
    """Files stand where the cache folders would have to be: that stops even those who may write anywhere."""
    package, home = tmp_path / "splitpin", tmp_path / "home"
    shutil.copytree(
        Path(splitpin.__file__).parent, package, ignore=shutil.ignore_patterns("__pycache__", "example")
    )
    (package / "frames" / "__pycache__").touch()
    if home_can_be_written:
        home.mkdir()
    else:
        home.touch()
    kept = {name: str(home) for name in ("HOME", "XDG_CACHE_HOME", "LOCALAPPDATA", "USERPROFILE")}
    env = os.environ | {"PYTHONPATH": str(tmp_path), "PYTHONDONTWRITEBYTECODE": "1"} | kept
    env.pop("NUMBA_CACHE_DIR", None)
    code = (
        "import numpy as np, splitpin\n"
        "from splitpin.frames.levels import premultiply\n"
        "from splitpin.frames.pyramid import Pyramid\n"
        "Pyramid.of(np.ones((2, 2, 4), np.uint8)).level(0)\n"
        "print(splitpin.__file__, len(premultiply.signatures))\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, env=env, check=False)
    assert done.stderr == ""
    assert done.stdout.split() == [str(package / "__init__.py"), "1"]
    assert not home_can_be_written or any(home.rglob("*.nbi"))
