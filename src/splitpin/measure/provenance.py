"""Where a found thing comes from, for the rights ledger."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import BeforeValidator, StringConstraints

from splitpin.measure.licence import Licence
from splitpin.measure.plain import Plain, Text


def _as_text(value: object) -> object:
    if isinstance(value, date):
        return value.isoformat()[:10]
    return str(value) if isinstance(value, int) and not isinstance(value, bool) else value


When = Annotated[Text, BeforeValidator(_as_text)]
"""A date as TOML writes it, a year, or words."""

Digest = Annotated[str, StringConstraints(strict=True, pattern=r"^[0-9a-f]{64}$")]
"""A SHA-256 sum in hexadecimal."""


CALCULATED = "made by calculation"
"""How the source of a sound begins that nobody made but a formula; what follows is how, for its maker."""


class Provenance(Plain):
    """Where a found thing comes from."""

    format: Literal[1]
    """The version of this kind of document."""
    title: Text = ""
    """What the work is called, as the credits shall say it: ``The cats' concert``."""
    source: Text = ""
    """Where it was found: a magazine and its page, an address, a drawer."""
    by: Text = ""
    """Who made it."""
    date: When = ""
    """When it was made or printed: ``1912-05-31``, ``1912``, or words."""
    licence: Licence | None = None
    """Its terms, as an SPDX id (``CC0-1.0``), or ``LicenseRef-`` and a name of your own."""
    sha256: Digest | None = None
    """The SHA-256 sum of the file as found, to prove that it was never altered."""
    note: Text = ""
    """Anything worth remembering."""


def missing(document: Provenance | None) -> tuple[str, ...]:
    """What should still be found out of a thing that is seen or heard in a film, in words.

    Parameters
    ----------
    document
        What is known of it; None when nothing is.
    """
    if document is None:
        return ("any note of where it comes from",)
    terms = document.licence
    asked = {
        "where it was found (`source`)": not document.source,
        "on what terms it may be used (`licence`)": terms is None,
        f"who made it (`by`): {terms} asks for the name": (terms or "").startswith("CC-BY")
        and not document.by,
        f"a permission: {terms} does not allow altered pictures and sounds to be shared": "-ND-"
        in (terms or ""),
    }
    return tuple(what for what, lacks in asked.items() if lacks)
