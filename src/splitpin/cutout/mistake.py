"""What can be wrong with what a person asks of a picture."""

from __future__ import annotations


class CutError(ValueError):
    """Something that cannot be cut: what was found where, what was expected, and what to do."""

    def __init__(self, where: str, found: str, expected: str, remedy: str) -> None:
        super().__init__(f"{where}: {found}; expected {expected}; {remedy}")
        self.where, self.found, self.expected, self.remedy = where, found, expected, remedy
