"""``splitpin title``."""

from __future__ import annotations

from typing import Annotated

import typer

from splitpin.command.letter import Colour, Font
from splitpin.command.options import Again, Folder, Json
from splitpin.command.speak import guarded, mistakes_as_data, out, printable, say_json, tell_warnings
from splitpin.folder.mistake import FolderError


def title(
    folder: Folder,
    name: Annotated[str, typer.Argument(metavar="NAME", help="The scene's name.", show_default=False)],
    text: Annotated[
        str | None,
        typer.Option(metavar="WORDS", help="The words; \\n begins a new line.", show_default=False),
    ] = None,
    credits: Annotated[  # noqa: A002 (the option is called so)
        bool, typer.Option("--credits", help="The credits, as the rights ledger has them.")
    ] = False,
    roll: Annotated[bool, typer.Option("--roll", help="Roll the credits, instead of cards.")] = False,
    marked: Annotated[
        bool, typer.Option("--marked", help="Take what is unresolved in, as not known.")
    ] = False,
    seconds: Annotated[
        float | None,
        typer.Option(
            metavar="N",
            min=0.1,
            max=3600,
            help="How long; reading time and 2 s when left out.",
            show_default=False,
        ),
    ] = None,
    first: Annotated[bool, typer.Option("--first", help="At the start of the film, as titles are.")] = False,
    last: Annotated[bool, typer.Option("--last", help="At the end, as credits are.")] = False,
    size_mm: Annotated[
        float | None,
        typer.Option(
            metavar="MM",
            min=0.1,
            max=1000,
            help="How high capitals are; it suits the picture when left out.",
            show_default=False,
        ),
    ] = None,
    colour: Colour = "#2d2823",
    font: Font = None,
    again: Again = False,
    as_json: Json = False,
) -> None:
    """Add a title or the credits: a scene of words, as long as they take to read.

    Like this:

        splitpin title hello opening --text "Hello"

        splitpin title hello credits --credits --roll
    """
    with guarded(folder, as_json=as_json):
        from splitpin.jobs.letter import lettering
        from splitpin.jobs.title import Place, credits_scene
        from splitpin.jobs.title import title as title_job

        if credits == (text is not None):
            found = "both --text and --credits" if credits else "neither --text nor --credits"
            raise FolderError("splitpin title", found, "one of them", "say what it shall tell")
        if text is not None and not text.replace("\\n", "").strip():
            raise FolderError("--text", "no words", "the words of the title", 'write --text "Words"')
        deaf = [option for option, said in (("--roll", roll), ("--marked", marked)) if said and not credits]
        if deaf:
            raise FolderError(
                "splitpin title", f"{' and '.join(deaf)} without --credits", "a title, or the credits",
                "they are of the credits: leave them out, or say --credits instead of --text",
            )  # fmt: skip
        if first and last:
            raise FolderError("splitpin title", "--first and --last together", "one of them", "leave one out")
        place: Place = "last" if last or (credits and not first) else "first"
        recipe = lettering(
            text=("credits" if text is None else text).replace("\\n", "\n"),
            size_mm=size_mm,
            colour=colour,
            font=font,
        )
        sized = size_mm is not None
        if credits:
            made = credits_scene(
                folder, name, recipe, roll=roll, marked=marked, place=place, sized=sized, again=again
            )
        else:
            made = title_job(folder, name, recipe, seconds=seconds, place=place, sized=sized, again=again)
        if as_json:
            say_json(
                {
                    "scene": str(made.scene),
                    "cutouts": [str(file) for file in made.cutouts],
                    "seconds": round(made.seconds, 3),
                    "warnings": mistakes_as_data(made.warnings),
                }
            )
            return
        tell_warnings(made.warnings)
        out().print(printable(f"{made.scene}  {made.seconds:.2f} s"), markup=False)
