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


_IN_WORDS = {
    "CC0-1.0": "given to the public domain (CC0)",
    "CC-PDM-1.0": "in the public domain",
    "CC-PDDC": "in the public domain",
    "PDDL-1.0": "given to the public domain",
    "Unlicense": "given to the public domain",
    "MIT": "under the MIT licence",
    "MIT-0": "under the MIT licence without attribution",
    "ISC": "under the ISC licence",
    "Zlib": "under the zlib licence",
    "WTFPL": "to be used at will",
    "FSFAP": "under the GNU All-Permissive License",
    "OFL-1.1": "under the SIL Open Font License 1.1",
    "OGL-UK-3.0": "under the Open Government Licence 3.0 of the United Kingdom",
    "ODbL-1.0": "under the Open Database License 1.0",
    "LAL-1.2": "under the Free Art License 1.2",
    "LAL-1.3": "under the Free Art License 1.3",
}
_FAMILIES = {
    "AGPL": "the GNU Affero General Public License",
    "LGPL": "the GNU Lesser General Public License",
    "GPL": "the GNU General Public License",
    "GFDL": "the GNU Free Documentation License",
    "Apache": "the Apache License",
    "Artistic": "the Artistic License",
    "BSL": "the Boost Software License",
    "CDLA-Permissive": "the Community Data License Agreement, permissive,",
    "EPL": "the Eclipse Public License",
    "EUPL": "the European Union Public Licence",
    "MPL": "the Mozilla Public License",
}
_CC_TERMS = {"BY": "Attribution", "NC": "NonCommercial", "ND": "NoDerivatives", "SA": "ShareAlike"}


def asks_for_a_name(licence: str) -> bool:
    """Whether terms ask that whoever made it is named, and that changes are told."""
    return licence.startswith("CC-BY")


def in_words(licence: str) -> str:
    """Terms as an audience reads them; the identifier itself where there are no words for it.

    Parameters
    ----------
    licence
        An SPDX identifier, or ``LicenseRef-`` and a name of one's own, whose hyphens are read as spaces.
    """
    if licence.startswith("LicenseRef-"):
        return licence.removeprefix("LicenseRef-").replace("-", " ")
    if licence in _IN_WORDS:
        return _IN_WORDS[licence]
    if licence.startswith("CC-BY"):
        *terms, version = licence.removeprefix("CC-").split("-")
        where = f"creativecommons.org/licenses/{'-'.join(terms).lower()}/{version}"
        return f"under Creative Commons {'-'.join(_CC_TERMS[t] for t in terms)} {version} ({where})"
    family, _, version = licence.removesuffix("-only").removesuffix("-or-later").rpartition("-")
    if family in _FAMILIES:
        later = " or later" if licence.endswith("-or-later") else ""
        return f"under {_FAMILIES[family]} {version}{later}"
    return f"under the licence {licence}"
