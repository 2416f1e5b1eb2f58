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

Picture = Annotated[
    Path | None,
    typer.Argument(
        metavar="PICTURE", help="A picture's file; with --into, also a name in pictures/.", show_default=False
    ),
]
"""A found picture to work on; None with a recipe."""

To = Annotated[
    Path | None,
    typer.Option(
        "-o", metavar="NEW.png", help="Where the result goes; its recipe goes beside it.", show_default=False
    ),
]
"""A file outside of a film folder."""

Into = Annotated[
    Path | None,
    typer.Option(metavar="FOLDER", help="Or the film folder it becomes a cut-out of.", show_default=False),
]
"""A film folder."""

Named = Annotated[
    str | None, typer.Option(metavar="NAME", help="What the cut-out is called there.", show_default=False)
]
"""The name of a cut-out."""

FromRecipe = Annotated[
    Path | None,
    typer.Option(
        metavar="RECIPE.toml",
        help="Make it again from its recipe; -o says where it goes, if not beside that.",
        show_default=False,
    ),
]
"""The document of what shall be made again."""

Ppi = Annotated[
    float | None,
    typer.Option(metavar="N", min=1, max=100_000, help="Pixels per inch of the scan.", show_default=False),
]
"""How finely a picture was scanned."""


SceneName = Annotated[
    str, typer.Argument(metavar="SCENE", help="A scene: the name of its document without .toml.")
]
"""A scene that a command works on."""

Who = Annotated[
    str, typer.Option(metavar="MEMBER", help="A member of the cast, or view.", show_default=False)
]
"""Who is moved."""

Frame = Annotated[
    int,
    typer.Option(
        metavar="N",
        min=-1,
        help="A frame of the exposure, counted from the scene's start.",
        show_default=False,
    ),
]
"""Where in a scene."""


def refuse_beside_recipe(context: typer.Context, recipe: Path | None) -> None:
    """Refuse whatever is said beside a recipe and would not be listened to.

    Raises
    ------
    FolderError
        When anything but where the result goes, and how it is told, was said.
    """
    if recipe is None:
        return
    from splitpin.folder.mistake import FolderError

    for param in context.command.params:
        source = context.get_parameter_source(str(param.name))
        if param.name in _BESIDE_RECIPE or source is None or source.name != "COMMANDLINE":
            continue
        said = str(param.metavar) if param.param_type_name == "argument" else max(param.opts, key=len)
        raise FolderError(
            str(context.info_name), f"--recipe and {said} together", "one of them",
            "leave the other out: what is made again is changed in its recipe",
        )  # fmt: skip


_BESIDE_RECIPE = ("recipe", "to", "again", "as_json")

Again = Annotated[bool, typer.Option("--again", help="Write over files of these names.")]
"""Whether something may be lost."""

Seed = Annotated[
    int, typer.Option(metavar="N", min=0, max=2**31 - 1, help="Another number, another filling.")
]
"""What chance comes from."""
