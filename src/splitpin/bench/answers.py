"""What the workbench answers when something is wrong: one shape, whatever it is."""

from __future__ import annotations

from collections.abc import Iterable

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.responses import JSONResponse

from splitpin.cutout.mistake import CutError
from splitpin.folder.mistake import FileError, FolderError, Mistake
from splitpin.jobs.ready import RefusedError
from splitpin.jobs.workers import StoppedError


def as_data(mistakes: Iterable[Mistake]) -> list[dict[str, object]]:
    """Mistakes as the command line tells them to machines."""
    return [mistake._asdict() for mistake in mistakes]


def refusal(status: int, mistakes: Iterable[Mistake]) -> JSONResponse:
    """An answer that says what is wrong: ``{"mistakes": [{file, line, found, expected, remedy}]}``."""
    return JSONResponse({"mistakes": as_data(mistakes)}, status)


def error(status: int, where: str, found: str, expected: str, remedy: str) -> JSONResponse:
    """An answer that tells one thing that is wrong."""
    return refusal(status, [Mistake(where, None, found, expected, remedy)])


def told(problem: Exception) -> tuple[Mistake, ...] | None:
    """What a problem that a person can put right comes to; None for one that is ours."""
    if isinstance(problem, RefusedError):
        return problem.mistakes
    if isinstance(problem, FolderError):
        return (problem.mistake,)
    if isinstance(problem, CutError):
        return (Mistake(problem.where, None, problem.found, problem.expected, problem.remedy),)
    if isinstance(problem, FileError):
        return (problem.mistake("the film folder"),)
    if isinstance(problem, StoppedError):
        return (Mistake("the work", None, "it was stopped", "to go on to its end", "begin it again"),)
    if isinstance(problem, OSError):
        why = problem.strerror or type(problem).__name__
        return (Mistake("the disk", None, why, "a file that can be read and written", "look at its place"),)
    return None


def install(app: FastAPI) -> None:
    """Let an application answer in this shape."""

    async def refused(_: Request, problem: Exception) -> JSONResponse:
        return refusal(422, told(problem) or ())

    async def unfit(_: Request, problem: Exception) -> JSONResponse:
        assert_type = problem if isinstance(problem, RequestValidationError) else RequestValidationError([])
        return refusal(422, [_unfit(one) for one in assert_type.errors()])

    async def other(_: Request, problem: Exception) -> JSONResponse:
        status = problem.status_code if isinstance(problem, HTTPException) else 500
        words = str(problem.detail) if isinstance(problem, HTTPException) else "it failed"
        return error(status, "the workbench", words, "what its page asks for", "load the page anew")

    for kind in (RefusedError, FolderError, CutError, FileError, StoppedError, OSError):
        app.add_exception_handler(kind, refused)
    app.add_exception_handler(RequestValidationError, unfit)
    app.add_exception_handler(HTTPException, other)
    app.add_exception_handler(Exception, other)


def _unfit(one: dict[str, object]) -> Mistake:
    place = one.get("loc", ())
    where = ".".join(str(part) for part in place) if isinstance(place, tuple | list) else str(place)
    return Mistake("the request", None, f"{where}: {one.get('msg')}", "what the page asks for", "see /api")
