"""``splitpin effect``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from splitpin.command.options import Again, Json
from splitpin.command.speak import guarded, out, printable, say_json
from splitpin.folder.mistake import FolderError

if TYPE_CHECKING:
    from splitpin.jobs.effect import Kind


def effect(
    kind: Annotated[
        str | None, typer.Argument(metavar="[KIND]", help="Which: thud, boing …", show_default=False)
    ] = None,
    listed: Annotated[
        bool, typer.Option("--list", help="Tell all of them, or what KIND can be told.")
    ] = False,
    seconds: Annotated[
        float | None, typer.Option(metavar="N", help="How long it lasts.", show_default=False)
    ] = None,
    pitch: Annotated[
        float | None, typer.Option(metavar="HZ", help="How high it is, Hz.", show_default=False)
    ] = None,
    seed: Annotated[
        int | None, typer.Option(metavar="N", help="Another number, another sound.", show_default=False)
    ] = None,
    told: Annotated[
        list[str] | None,
        typer.Option(
            "--set", metavar="NAME=VALUE", help="Anything else; may be repeated.", show_default=False
        ),
    ] = None,
    to: Annotated[
        Path | None, typer.Option("-o", metavar="NEW.wav", help="Where it goes.", show_default=False)
    ] = None,
    into: Annotated[
        Path | None,
        typer.Option(metavar="FOLDER", help="Or the film folder it becomes a sound of.", show_default=False),
    ] = None,
    name: Annotated[
        str | None, typer.Option(metavar="NAME", help="What it is called there.", show_default=False)
    ] = None,
    again: Again = False,
    as_json: Json = False,
) -> None:
    """Make a sound effect by calculation: the same words, the same sound, to the last bit.

    Like this:

        splitpin effect --list

        splitpin effect thud --pitch 60 --into hello --name falls
    """
    with guarded(into or Path(), as_json=as_json):
        from splitpin.jobs.effect import keep_effect, kit, write_effect

        if listed or kind is None:
            _tell([one for one in kit() if kind in (None, one.name)] or list(kit()), as_json=as_json)
            return
        said = _said(seconds, pitch, seed, told or [])
        if into is not None and to is None:
            made = keep_effect(kind, said, into, name)
        elif to is not None and into is None and name is None:
            made = write_effect(kind, said, to, again=again)
        else:
            raise FolderError(
                "effect", "no single place to go", "-o, or --into and perhaps --name", "say one of them"
            )
        if as_json:
            say_json({"file": str(made.file), "seconds": round(made.seconds, 3)})
        else:
            out().print(printable(f"{made.file}  {made.seconds:.2f} s"), markup=False)


def _said(seconds: float | None, pitch: float | None, seed: int | None, told: list[str]) -> dict[str, str]:
    said: dict[str, str] = {}
    for words in told:
        key, sign, value = words.partition("=")
        if not sign:
            raise FolderError(
                "--set", repr(words), "NAME=VALUE, such as bounces=3", "see: splitpin effect --list"
            )
        said[key.strip()] = value
    plain = {"seconds": seconds, "hertz": pitch, "seed": seed}
    return {**said, **{key: f"{value!r}" for key, value in plain.items() if value is not None}}


def _tell(kinds: list[Kind], *, as_json: bool) -> None:
    if as_json:
        say_json({"effects": [
            {"name": k.name, "about": k.about, "parameters": [
                {"name": p.name, "default": p.otherwise, "low": p.bounds.low, "high": p.bounds.high,
                 "unit": p.bounds.unit, "expected": p.expected, "about": p.about} for p in k.parameters
            ]} for k in kinds
        ]})  # fmt: skip
        return
    for k in kinds:
        out().print(f"{k.name}: {k.about}", markup=False)
        for p in k.parameters:
            otherwise = ("no", "yes")[p.otherwise] if isinstance(p.otherwise, bool) else f"{p.otherwise:g}"
            if p.name != "seed" or len(kinds) == 1:
                out().print(f"    {p.name} = {otherwise}  {p.about} ({p.expected})", markup=False)
