"""Loops over pixels as machine code."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from numba import njit


def kernel(function: Callable[..., Any]) -> Any:
    """Compile on first use and keep the machine code on disk: in the package's folder, else in the user's
    cache folder, else (when neither can be written) only for as long as the program runs.
    """
    try:
        return njit(nogil=True, cache=True)(function)
    except RuntimeError:
        return njit(nogil=True)(function)
