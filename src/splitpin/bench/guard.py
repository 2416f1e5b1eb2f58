"""Who may talk to the workbench: pages of its own, on this computer, that have its key."""

from __future__ import annotations

import hmac
import secrets
from http.cookies import CookieError, SimpleCookie
from urllib.parse import parse_qs

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from splitpin.bench.answers import error

MOST_BYTES = 2 << 30
"""How much may be sent to the desk at once: a long scan is a few hundred million bytes."""
HEADER = "x-splitpin-key"
POLICY = (
    "default-src 'self'; img-src 'self' blob: data:; media-src 'self' blob:; connect-src 'self'; "
    "style-src 'self'; script-src 'self'; font-src 'self'; object-src 'none'; base-uri 'none'; "
    "form-action 'self'; frame-ancestors 'none'"
)
"""Content Security Policy (W3C, level 3): nothing from elsewhere, nothing in line."""


def new_key() -> str:
    """A key that nobody guesses."""
    return secrets.token_urlsafe(32)


class Guard:
    """Lets through what may come in.

    A request must name this computer as its host, so that no name of a foreign page leads here; if it tells
    where it comes from, that must be here; and it must hold the key, in a cookie or a header. The address
    that is printed at the start holds it once, and changes it for the cookie.

    Parameters
    ----------
    app
        What is guarded.
    key
        The secret.
    port
        The port that is served.
    """

    def __init__(self, app: ASGIApp, key: str, port: int) -> None:
        self._app, self._key = app, key
        self._hosts = {f"127.0.0.1:{port}", f"localhost:{port}"}
        self._origins = {f"http://{host}" for host in self._hosts}
        self._cookie = f"splitpin-{port}"

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer, or refuse."""
        if scope["type"] not in ("http", "websocket"):
            await self._app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        refused = self._refused(scope, headers)
        if refused is None:
            await self._app(scope, receive, self._sealed(send))
        elif scope["type"] == "websocket":
            await send({"type": "websocket.close", "code": 1008})
        else:
            await refused(scope, receive, self._sealed(send))

    def _refused(self, scope: Scope, headers: Headers) -> Response | None:
        if headers.get("host") not in self._hosts:
            return _no(421, "a name for this computer that is not its own", "127.0.0.1 or localhost")
        origin = headers.get("origin")
        if origin is not None and origin not in self._origins:
            return _no(403, f"a page of {origin[:80]}", "a page of the workbench")
        if headers.get("sec-fetch-site", "same-origin") not in ("same-origin", "none"):
            return _no(403, "a page from elsewhere", "a page of the workbench")
        length = headers.get("content-length", "0")
        if not length.isdigit() or int(length) > MOST_BYTES:
            return _no(413, "more than the desk can hold", f"at most {MOST_BYTES >> 30} GiB at a time")
        asked = parse_qs(scope.get("query_string", b"").decode("latin-1")).get("key", [""])[0]
        if scope["type"] == "http" and scope["method"] == "GET" and asked and self._right(asked):
            return self._let_in(scope["path"])
        if not self._right(headers.get(HEADER, "")) and not self._right(self._carried(headers)):
            return _no(401, "no key", "the address that `splitpin bench` printed")
        return None

    def _let_in(self, path: str) -> Response:
        # A path of two slashes at its start would lead to another computer.
        answer = RedirectResponse("/" + path.lstrip("/\\"), status_code=303)
        answer.set_cookie(self._cookie, self._key, httponly=True, samesite="strict", path="/")
        return answer

    def _carried(self, headers: Headers) -> str:
        try:
            cookie = SimpleCookie(headers.get("cookie", "")).get(self._cookie)
        except CookieError:
            return ""
        return "" if cookie is None else cookie.value

    def _right(self, key: str) -> bool:
        return hmac.compare_digest(key.encode("utf-8", "replace"), self._key.encode())

    @staticmethod
    def _sealed(send: Send) -> Send:
        async def sealed(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                headers["content-security-policy"] = POLICY
                headers["x-content-type-options"] = "nosniff"
                headers["referrer-policy"] = "no-referrer"
                headers["cross-origin-opener-policy"] = "same-origin"
                headers["cross-origin-resource-policy"] = "same-origin"
                headers.setdefault("cache-control", "no-cache")
            await send(message)

        return sealed


def _no(status: int, found: str, expected: str) -> JSONResponse:
    return error(status, "the workbench", found, expected, "open that address in this browser")
