"""The page's files come from memory, once, and the page asks for all that it begins with together."""

from __future__ import annotations

import re

import pytest
from starlette.testclient import TestClient

from splitpin.bench.app import PLACES, WEB
from splitpin.bench.pagefiles import PageFiles


def linked(page: str) -> set[str]:
    return set(re.findall(r'rel="modulepreload" href="/web/([^"]+)"', page))


@pytest.fixture(scope="module")
def files() -> PageFiles:
    return PageFiles(WEB)


def test_every_file_is_served_as_it_lies_there(bench: TestClient, files: PageFiles) -> None:
    for name, file in files.files.items():
        answer = bench.get(f"/web/{name}")
        assert answer.content == (WEB / name).read_bytes()
        assert answer.headers["content-type"].split(";")[0] == file.kind


def test_modules_and_types_have_the_media_types_that_browsers_want(files: PageFiles) -> None:
    # HTML Living Standard: a module script must come as JavaScript.
    assert files.files["main.js"].kind == "text/javascript"
    assert files.files["style/desk.css"].kind == "text/css"
    assert {f.kind for name, f in files.files.items() if name.endswith(".woff2")} == {"font/woff2"}


def test_what_a_browser_has_is_not_sent_again(bench: TestClient) -> None:
    first = bench.get("/web/main.js")
    again = bench.get("/web/main.js", headers={"if-none-match": first.headers["etag"]})
    assert again.status_code == 304
    assert again.content == b""
    assert bench.get("/web/main.js", headers={"if-none-match": '"another"'}).status_code == 200


@pytest.mark.parametrize("path", ["nobody.js", "../app.py", "..%2fapp.py", "style", ""])
def test_what_is_no_file_of_the_page_is_not_found(bench: TestClient, path: str) -> None:
    assert bench.get(f"/web/{path}").status_code == 404


def test_files_are_only_read(bench: TestClient) -> None:
    assert bench.post("/web/main.js", content=b"spoilt").status_code == 405


@pytest.mark.parametrize("place", PLACES)
def test_a_place_links_what_it_begins_with_and_no_other_place(bench: TestClient, place: str) -> None:
    found = linked(bench.get(f"/{place}").text)
    assert {"main.js", "core/link.js", "places/index.js", f"places/{place}.js"} <= found
    others = {f"places/{one}.js" for one in PLACES} - {f"places/{place}.js"}
    assert not found & others
