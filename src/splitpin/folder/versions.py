"""Lifting documents of older formats to the one that is written now.

A step takes the plain dict of one version to the next and knows nothing of models: those change, steps
never do.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from splitpin.folder.describe import found_words
from splitpin.folder.kinds import Kind
from splitpin.measure.fault import Fault

Plain = dict[str, Any]
Step = Callable[[Plain], Plain]
Steps = Mapping[tuple[str, int], Step]

STEPS: Steps = {}
"""For a kind of document and the version it is in: the way to the next version."""


def lift(kind: Kind, data: Plain, steps: Steps = STEPS) -> tuple[Plain, Fault | None]:
    """Bring a document to its kind's present version.

    Returns
    -------
    The document with its present ``format``, and a fault when its version cannot be understood; then the
    document is returned as it was, but for the version.
    """
    version = data.get("format")
    if version is None:
        fault = Fault(
            ("format",),
            "no `format`",
            f"`format = {kind.version}`",
            f"write `format = {kind.version}` as the first line",
        )
        return {**data, "format": kind.version}, fault
    if isinstance(version, bool) or not isinstance(version, int) or version < 1:
        fault = Fault(
            ("format",),
            f"`format` is {found_words(version)}",
            f"`format = {kind.version}`",
            f"write `format = {kind.version}`",
        )
        return {**data, "format": kind.version}, fault
    if version > kind.version:
        fault = Fault(
            ("format",),
            f"`format` is {version if version < 10**9 else 'very large'}: made by a newer splitpin",
            f"a version up to {kind.version}",
            "bring splitpin up to date",
        )
        return {**data, "format": kind.version}, fault
    for v in range(version, kind.version):
        data = {**steps[kind.name, v](data), "format": v + 1}
    return data, None
