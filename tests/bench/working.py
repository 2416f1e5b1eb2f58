"""Wait for work that was asked for."""

from __future__ import annotations

import time
from typing import Any

from starlette.testclient import TestClient


def worked(bench: TestClient, answer: Any) -> dict[str, Any]:
    """The work, done or failed."""
    assert answer.status_code == 202, answer.text
    number = answer.json()["number"]
    while True:
        told: dict[str, Any] = bench.get(f"/api/work/{number}").json()
        assert "state" in told, told
        if told["state"] in ("done", "failed", "stopped"):
            return told
        time.sleep(0.01)
