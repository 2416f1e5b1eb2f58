"""Where in a TOML text a value stands.

The standard reader forgets lines; this one remembers nothing else. It trusts that the text is valid TOML 1.0
and is lenient where it is not, so that a line can be given for a half-written document too.
"""

from __future__ import annotations

import re
from functools import cached_property

Path = tuple[str | int, ...]

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_PLAIN = re.compile(r"[^,\]}\n#]*")
_SPACE = re.compile(r"[ \t\r]*")
_GAP = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_ESCAPE = re.compile(r'\\(?:u([0-9A-Fa-f]{4})|U([0-9A-Fa-f]{8})|(["\\bfnrt]))')
_SHORT = {'"': '"', "\\": "\\", "b": "\b", "f": "\f", "n": "\n", "r": "\r", "t": "\t"}


def lines_of(text: str) -> dict[Path, int]:
    r"""The line, counted from 1, on which each key, item or table of a document begins.

    >>> lines_of("a = 1\n[b]\nc = [2,\n  3]\n")[("b", "c", 1)]
    4
    """
    scanner = _Scanner(text)
    scanner.document()
    return scanner.lines


class Lines:
    """The lines of a document, looked for when first asked: most documents have no mistakes to place."""

    def __init__(self, text: str) -> None:
        self._text = text

    @cached_property
    def _lines(self) -> dict[Path, int]:
        return lines_of(self._text)

    def at(self, path: Path) -> int:
        """The line of a path, or of the nearest thing around it."""
        return line_at(self._lines, path)

    def path_at(self, line: int) -> Path:
        r"""What stands on a line, or else what begins above it; empty above everything.

        >>> Lines("a = 1\n[[b]]\nc = 2\n\n").path_at(4)
        ('b', 0, 'c')
        """
        return max(
            (path for path, at in self._lines.items() if at <= line),
            key=lambda path: (self._lines[path], len(path)),
            default=(),
        )


def line_at(lines: dict[Path, int], path: Path) -> int:
    """The line of a path, or of the nearest thing around it that the text holds; 1 for the document."""
    while path and path not in lines:
        path = path[:-1]
    return lines.get(path, 1)


class _Scanner:
    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.line = 1
        self.lines: dict[Path, int] = {}
        self.lengths: dict[Path, int] = {}

    def document(self) -> None:
        table: Path = ()
        while True:
            self.skip(_GAP)
            if self.at >= len(self.text):
                return
            start = self.at
            if self.text.startswith("[", self.at):
                table = self.header()
            else:
                self.pair(table)
            self.skip(_SPACE)
            if self.at == start or not self.text.startswith(("\n", "#"), self.at):
                self.skip(re.compile(r"[^\n]*"))

    def header(self) -> Path:
        many = self.text.startswith("[[", self.at)
        line = self.line
        self.forward(2 if many else 1)
        path: Path = ()
        keys = self.dotted()
        for i, key in enumerate(keys):
            path = (*path, key)
            self.lines.setdefault(path, line)
            if many and i == len(keys) - 1:
                self.lengths[path] = self.lengths.get(path, 0) + 1
            if path in self.lengths:
                path = (*path, self.lengths[path] - 1)
                self.lines.setdefault(path, line)
        if not many and path:
            self.lines[path] = line
        self.forward(2 if many else 1)
        return path

    def pair(self, table: Path) -> None:
        line = self.line
        path = table
        for key in self.dotted():
            path = (*path, key)
            self.lines.setdefault(path, line)
        if self.text.startswith("=", self.at):
            self.forward(1)
            self.skip(_SPACE)
            self.value(path)

    def dotted(self) -> list[str]:
        keys: list[str] = []
        while True:
            self.skip(_SPACE)
            start = self.at
            if self.text.startswith(('"', "'"), self.at):
                keys.append(self.string())
            elif match := _BARE.match(self.text, self.at):
                keys.append(match.group())
                self.forward(match.end() - start)
            else:
                return keys
            self.skip(_SPACE)
            if not self.text.startswith(".", self.at):
                return keys
            self.forward(1)

    def value(self, path: Path) -> None:
        if self.text.startswith(('"', "'"), self.at):
            self.string()
        elif self.text.startswith("[", self.at):
            self.array(path)
        elif self.text.startswith("{", self.at):
            self.inline(path)
        else:
            self.skip(_PLAIN)

    def array(self, path: Path) -> None:
        self.forward(1)
        count = 0
        while self.at < len(self.text):
            self.skip(_GAP)
            if self.text.startswith("]", self.at):
                self.forward(1)
                return
            start = self.at
            self.lines[(*path, count)] = self.line
            self.value((*path, count))
            count += 1
            self.skip(_GAP)
            if self.text.startswith(",", self.at):
                self.forward(1)
            if self.at == start:
                return

    def inline(self, path: Path) -> None:
        self.forward(1)
        while self.at < len(self.text):
            self.skip(_GAP)
            if self.text.startswith("}", self.at):
                self.forward(1)
                return
            start = self.at
            self.pair(path)
            self.skip(_GAP)
            if self.text.startswith(",", self.at):
                self.forward(1)
            if self.at == start:
                return

    def string(self) -> str:
        quote = self.text[self.at]
        if self.text.startswith(quote * 3, self.at):
            body = r"(?:[^\\]|\\.)*?" if quote == '"' else r".*?"
            match = re.compile(f"{quote * 3}({body}){quote * 3}(?:{quote}{{0,2}})", re.S).match(
                self.text, self.at
            )
        else:
            body = r'(?:[^"\\\n]|\\.)*' if quote == '"' else r"[^'\n]*"
            match = re.compile(f"{quote}({body}){quote}").match(self.text, self.at)
        if match is None:
            self.skip(re.compile(r"[^\n]*"))
            return ""
        self.forward(match.end() - self.at)
        return _unescaped(match.group(1)) if quote == '"' else match.group(1)

    def skip(self, pattern: re.Pattern[str]) -> None:
        match = pattern.match(self.text, self.at)
        if match is not None:
            self.forward(match.end() - self.at)

    def forward(self, count: int) -> None:
        self.line += self.text.count("\n", self.at, self.at + count)
        self.at += count


def _unescaped(text: str) -> str:
    def character(match: re.Match[str]) -> str:
        code = match.group(1) or match.group(2)
        if code is None:
            return _SHORT[match.group(3)]
        return chr(int(code, 16)) if int(code, 16) < 0x110000 else ""

    return _ESCAPE.sub(character, text)
