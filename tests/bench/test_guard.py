"""The workbench answers its own page on this computer, and nobody else."""

from __future__ import annotations

from pathlib import Path

import pytest
from starlette.testclient import TestClient
from starlette.websockets import WebSocketDisconnect
from tests.bench.conftest import KEY, PORT

from splitpin.bench.guard import HEADER, MOST_BYTES


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({HEADER: "wrong"}, 401),
        ({HEADER: ""}, 401),
        ({"host": "films.example"}, 421),
        ({"host": "127.0.0.1:9"}, 421),
        ({"origin": "https://films.example"}, 403),
        ({"origin": "null"}, 403),
        ({"sec-fetch-site": "cross-site"}, 403),
        ({"content-length": str(10 << 30)}, 413),
        ({"content-length": "-1"}, 413),
    ],
)
def test_what_does_not_come_from_its_own_page_is_refused(
    bench: TestClient, headers: dict[str, str], status: int
) -> None:
    answer = bench.get("/api/film", headers=headers)
    assert answer.status_code == status
    (mistake,) = answer.json()["mistakes"]
    assert set(mistake) == {"file", "line", "found", "expected", "remedy"}
    assert MOST_BYTES < 10 << 30


def test_the_printed_address_changes_its_key_for_a_cookie_that_pages_cannot_read(bench: TestClient) -> None:
    answer = bench.get(f"/?key={KEY}", headers={HEADER: ""}, follow_redirects=False)
    assert answer.status_code == 303
    assert answer.headers["location"] == "/"
    cookie = answer.headers["set-cookie"].lower()
    assert "httponly" in cookie
    assert "samesite=strict" in cookie
    assert bench.get("/api/film", headers={HEADER: ""}).status_code == 200


@pytest.mark.parametrize("path", ["//films.example/", "/\\films.example"])
def test_the_key_leads_to_no_other_computer(bench: TestClient, path: str) -> None:
    answer = bench.get(f"http://127.0.0.1:{PORT}{path}?key={KEY}", follow_redirects=False)
    assert not answer.headers.get("location", "/").startswith(("//", "/\\"))


def test_the_socket_asks_for_the_key_too(bench: TestClient) -> None:
    with bench.websocket_connect(f"ws://127.0.0.1:{PORT}/api/events", headers={HEADER: KEY}) as socket:
        assert socket.receive_json()["kind"] == "hello"
    for headers in ({HEADER: "wrong"}, {HEADER: KEY, "origin": "https://films.example"}):
        with (
            pytest.raises(WebSocketDisconnect),
            bench.websocket_connect(f"ws://127.0.0.1:{PORT}/api/events", headers=headers) as socket,
        ):
            socket.receive_json()


@pytest.mark.parametrize(
    "path",
    [
        "../film.toml",
        "%2e%2e/%2e%2e/etc/passwd",
        "/etc/passwd",
        ".splitpin/steps.jsonl",
        "..%2f..%2fetc%2fpasswd",
        "sounds/../../x",
        "pictures/none.png",
        "made",
        "c:/windows/win.ini",
    ],
)
def test_no_path_leads_out_of_the_film_or_to_what_is_hidden(bench: TestClient, path: str) -> None:
    answer = bench.get(f"/api/files/{path}")
    assert answer.status_code in (404, 422)
    assert "mistakes" in answer.json()


def test_a_link_out_of_the_film_is_not_followed(bench: TestClient) -> None:
    root = Path(bench.get("/api/film").json()["folder"])
    outside = root.parent / "secret.png"
    outside.write_bytes(b"secret")
    (root / "pictures").mkdir(exist_ok=True)
    (root / "pictures" / "a.png").symlink_to(outside)
    assert bench.get("/api/files/pictures/a.png").status_code == 422


def test_every_answer_forbids_what_is_not_its_own(bench: TestClient) -> None:
    for path in ("/", "/reel", "/api/film", "/api/none"):
        headers = bench.get(path).headers
        assert "default-src 'self'" in headers["content-security-policy"]
        assert headers["x-content-type-options"] == "nosniff"
        assert "unsafe" not in headers["content-security-policy"]
