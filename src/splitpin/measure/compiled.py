"""Loops over pixels as machine code."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from numba import njit


def kernel(function: Callable[..., Any]) -> Any:
    """Compile on first use and keep the machine code on disk: in the package's folder, else in the user's
    cache folder, else (when neither can be written) only for as long as the program runs.

    The code is kept by the text of the function's own file. A file whose kernels are built on those of others
    names the sums of these in ``BUILT_ON``, which a test holds true, so that it changes when they do.
    """
    return _compiled(function)


def loose_kernel(function: Callable[..., Any]) -> Any:
    """The same for one whose sums may be taken in any order: quicker, and the last bits are open."""
    return _compiled(function, any_order=True)


def _compiled(function: Callable[..., Any], any_order: bool = False) -> Any:
    try:
        return njit(nogil=True, cache=True, fastmath=any_order)(function)
    except RuntimeError:
        return njit(nogil=True, fastmath=any_order)(function)
