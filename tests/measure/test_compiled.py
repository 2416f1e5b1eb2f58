"""Machine code that is kept on disk is never older than what it was made of."""

from __future__ import annotations

import ast
import hashlib
from importlib import import_module
from pathlib import Path

import pytest

import splitpin

ROOT = Path(splitpin.__file__).parent
MARKS = ("@kernel", "@njit", "intrinsic(")
COMPILED = [p for p in sorted(ROOT.rglob("*.py")) if any(m in p.read_text(encoding="utf-8") for m in MARKS)]


def name_of(path: Path) -> str:
    return "splitpin." + ".".join(path.relative_to(ROOT).with_suffix("").parts)


def sum_of(path: Path) -> str:
    return hashlib.sha256(path.read_text(encoding="utf-8").encode()).hexdigest()[:12]


@pytest.mark.parametrize("path", COMPILED, ids=name_of)
def test_a_file_of_kernels_tells_the_sums_of_those_it_is_built_on(path: Path) -> None:
    """numba keeps machine code by the text of the kernel's own file, so that must change with the others.

    When this fails, write the sums that it shows into the file's ``BUILT_ON``.
    """
    others = {name_of(p): p for p in COMPILED if p != path and p.name != "compiled.py"}
    imported = {
        node.module or ""
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.ImportFrom)
    }
    expected = {name.rpartition(".")[2]: sum_of(others[name]) for name in sorted(imported & set(others))}
    assert getattr(import_module(name_of(path)), "BUILT_ON", {}) == expected
