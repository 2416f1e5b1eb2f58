"""Arguments and options that several commands share."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

Folder = Annotated[Path, typer.Argument(metavar="FOLDER", help="The film folder.", show_default=False)]
"""The film folder a command works on."""

Here = Annotated[
    Path,
    typer.Argument(metavar="[FOLDER]", help="The film folder; here when left out.", show_default=False),
]
"""The same, where a command works on the whole folder: ``folder: Here = HERE``."""

HERE = Path()

Json = Annotated[bool, typer.Option("--json", help="Say the result in JSON, for other programs.")]
"""Whether the result is for machines."""
