"""The OpenAPI document tells the truth: a property-based tester finds nothing to contradict it."""

import subprocess
import sys
from pathlib import Path

import pytest

from broadcaster.room import intake
from broadcaster.room.commands import COMMANDS, event_of
from broadcaster.room.http_guard import Limits
from broadcaster.room.http_orders import ORDERS
from broadcaster.story.events import Commanded, Refused
from tests.room.desk_line import on_the_line
from tests.services import needs_package

TOKEN = "a-token-of-many-letters"
WITHOUT_LIMITS = Limits(calls=(1e6, 10**6), wrong_tokens=(1e6, 10**6))
LIMIT_S = 120.0


@needs_package("schemathesis")
def test_every_check_holds(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Good data is accepted, bad data refused, each answer is as described, and nothing fails.

    The tester reaches the station: every order comes through, and every fact.
    """
    monkeypatch.setattr(intake, "COMMANDS_A_SECOND", 1e6)  # nothing is refused for its number
    monkeypatch.setattr(intake, "COMMANDS_AT_ONCE", 10**6)
    (tmp_path / "token").write_text(TOKEN)
    with on_the_line(
        tmp_path, limits=WITHOUT_LIMITS, longest_stream_s=0.02, token_file="token"
    ) as line:
        tester = subprocess.run(
            [
                *(sys.executable, "-m", "schemathesis.cli", "run", f"{line.url}/openapi.json"),
                *("--header", f"Authorization: Bearer {TOKEN}", "--checks", "all"),
                *("--max-examples", "3", "--seed", "1", "--no-color"),
            ],
            cwd=tmp_path,
            capture_output=True,
            text=True,
            timeout=LIMIT_S,
        )
        assert tester.returncode == 0, tester.stdout
        assert {type(event) for event in line.station.heard} == set(COMMANDS.values())
        assert set(line.station.facts) == {"crates_open", "lamp_lit", "gate"}
        assert all(isinstance(event, Refused | Commanded) for event in line.station.reported)


def test_every_event_from_outside_has_its_path() -> None:
    """But for facts, which have paths of their own."""
    assert {order.event for order in ORDERS} == set(COMMANDS) - {"set fact"}
    assert len({(order.method, order.path) for order in ORDERS}) == len(ORDERS)
    assert len({order.name for order in ORDERS}) == len(ORDERS)
    for order in ORDERS:
        if not order.fields:
            event_of({"event": order.event, **order.says}, "http")
