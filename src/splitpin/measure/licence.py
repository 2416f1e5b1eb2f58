"""Licences by their SPDX identifiers."""

from __future__ import annotations

import re
from typing import Annotated

from pydantic import AfterValidator, Field
from pydantic_core import PydanticCustomError

from splitpin.measure.likely import likely

_CC = tuple(
    f"CC-{terms}-{version}"
    for terms in ("BY", "BY-SA", "BY-NC", "BY-ND", "BY-NC-SA", "BY-NC-ND")
    for version in ("1.0", "2.0", "2.5", "3.0", "4.0")
)

KNOWN = (
    "CC0-1.0",
    "CC-PDM-1.0",
    "CC-PDDC",
    *_CC,
    "0BSD",
    "AGPL-3.0-only",
    "AGPL-3.0-or-later",
    "Apache-2.0",
    "Artistic-2.0",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "CDLA-Permissive-2.0",
    "EPL-2.0",
    "EUPL-1.2",
    "FSFAP",
    "GFDL-1.2-or-later",
    "GFDL-1.3-only",
    "GFDL-1.3-or-later",
    "GPL-2.0-only",
    "GPL-2.0-or-later",
    "GPL-3.0-only",
    "GPL-3.0-or-later",
    "ISC",
    "LAL-1.2",
    "LAL-1.3",
    "LGPL-2.1-only",
    "LGPL-2.1-or-later",
    "LGPL-3.0-only",
    "LGPL-3.0-or-later",
    "MIT",
    "MIT-0",
    "MPL-2.0",
    "ODbL-1.0",
    "OFL-1.1",
    "OGL-UK-3.0",
    "PDDL-1.0",
    "Unlicense",
    "WTFPL",
    "Zlib",
)
"""The SPDX identifiers that pictures and sounds usually carry; all of them stand in the SPDX licence list."""

_OWN = re.compile(r"LicenseRef-[A-Za-z0-9.-]+")


def _known(text: str) -> str:
    if text in KNOWN or _OWN.fullmatch(text):
        return text
    hint = likely(text, KNOWN)
    raise PydanticCustomError(
        "licence",
        "not a known licence",
        {
            "expected": "an SPDX licence id such as CC0-1.0, or LicenseRef- and a name of your own",
            "remedy": hint if hint.startswith("did") else "look the id up at spdx.org/licenses",
        },
    )


Licence = Annotated[
    str, Field(strict=True, max_length=100, json_schema_extra={"format": "spdx"}), AfterValidator(_known)
]
"""An SPDX licence identifier, or ``LicenseRef-`` and a name for terms of one's own."""
