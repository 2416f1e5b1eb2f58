"""Every route, tried with what nobody thought of: it answers or refuses, and never breaks down."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from schemathesis import Case
from schemathesis.core.result import Ok
from starlette.testclient import TestClient

from splitpin.bench.app import build
from splitpin.bench.room import Room
from splitpin.bench.routes import shelf
from splitpin.folder.mistake import FolderError

ROUTES = {
    f"{found.ok().method.upper()} {found.ok().path}": found.ok()
    for found in schemathesis.openapi.from_dict(build(Room()).openapi()).get_all_operations()
    if isinstance(found, Ok)
}


@pytest.mark.parametrize("route", ROUTES)
def test_no_request_breaks_a_route(
    route: str, bench: TestClient, tiny: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def nowhere(folder: Path, *, example: bool = False) -> None:
        raise FolderError(str(folder), f"tried with {example}", "nothing to be written", "leave it")

    monkeypatch.setattr(shelf, "new", nowhere)
    # One thing for all tries: what one request leaves behind, the next one finds.
    everything = [HealthCheck.function_scoped_fixture, HealthCheck.too_slow, HealthCheck.filter_too_much]

    @settings(
        max_examples=15,
        phases=[Phase.generate],
        deadline=None,
        database=None,
        suppress_health_check=everything,
    )
    @given(st.data())
    def ask(data: st.DataObject) -> None:
        case: Case[Any] = data.draw(ROUTES[route].as_strategy())
        told = case.as_transport_kwargs(base_url=str(bench.base_url))
        sent = {
            name: told[name] for name in ("params", "json", "files", "data") if told.get(name) is not None
        }
        if isinstance(sent.get("data"), bytes):  # a body as it is, no form
            sent["content"] = sent.pop("data")
        answer = bench.request(told["method"], told["url"], **sent)
        assert answer.status_code < 500, (told, answer.text)
        if answer.status_code >= 400:
            assert answer.json()["mistakes"], told

    ask()
    assert (tiny / "film.toml").is_file()
