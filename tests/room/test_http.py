"""HTTP: facts and orders go through the intake, and every refusal is told as a problem."""

import contextlib
import json
import re
import socket
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import httpx
import pytest

from broadcaster.room import http_patience
from broadcaster.room.http_body import MOST_BYTES
from broadcaster.script.transitions import TRANSITIONS
from broadcaster.script.venue_settings import FactSettings
from broadcaster.story.events import FactChanged, Refused
from broadcaster.story.in_events import (
    Announce,
    GiveHint,
    Jump,
    JumpTiming,
    PlainVoice,
    SetFact,
    SetReadability,
    SetSignal,
    StartSession,
    StopPlainVoice,
    TakeBackJump,
)
from tests.room.desk_line import Line, on_the_line


@pytest.fixture
def line(tmp_path: Path) -> Iterator[Line]:
    with on_the_line(tmp_path) as line:
        yield line


@pytest.fixture
def client(line: Line) -> Iterator[httpx.Client]:
    with httpx.Client(base_url=line.url) as client:
        yield client


def problem(answer: httpx.Response, status: int) -> str:
    """The sentence of a problem (RFC 9457), which is whole."""
    assert answer.headers["content-type"] == "application/problem+json"
    details = answer.json()
    assert set(details) == {"type", "title", "status", "detail"}
    assert (answer.status_code, details["status"]) == (status, status)
    return str(details["detail"])


def test_facts_are_reported(line: Line, client: httpx.Client) -> None:
    """One by one, and several at once, by the names that the outside has; JSON's own kinds."""
    assert client.put("/facts/lamp_lit", json={"value": True}).status_code == 202
    assert client.put("/facts/fen%2Fgate%201", json={"value": "wide open"}).status_code == 202
    answer = client.patch("/facts", json={"crates_open": 3, "lamp_lit": False})
    assert answer.status_code == 202
    assert line.station.facts == {"lamp_lit": False, "gate": "wide open", "crates_open": 3}
    assert all(event.source == "http" for event in line.station.heard)  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("path", "body", "said"),
    [
        ("/facts/lamp_lit", {"value": "yes"}, "takes true or false"),
        ("/facts/lamp_lit", {"value": 1}, "takes true or false"),
        ("/facts/crates_open", {"value": 5}, "outside its bounds"),
        ("/facts/crates_open", {"value": True}, "takes a whole number"),
        ("/facts/crates_open", {"value": 1.5}, "none"),
        ("/facts/fen%2Fgate%201", {"value": "opened"}, "takes one of its names"),
        ("/facts/fen%2Fgate%201", {"value": ["ajar"]}, "takes one of its names"),
        ("/facts/lamp_lit", {"value": True, "hold": 1}, "one key, `value`"),
        ("/facts/lamp_lit", {}, "one key, `value`"),
    ],
)
def test_a_value_that_does_not_fit_changes_nothing(
    line: Line, client: httpx.Client, path: str, body: dict[str, Any], said: str
) -> None:
    """It is refused in a sentence."""
    assert said in problem(client.put(path, json=body), 422)
    assert not line.station.heard


def test_what_is_set_by_hand_is_the_scripts_own_value(tmp_path: Path) -> None:
    """A sensor's report is turned round and bounded by its settings; what a hand sets is not, and
    is read back as it was set, at either path.
    """
    facts = {
        "lamp_lit": FactSettings(named="reed 7", inverted=True),
        "crates_open": FactSettings.model_validate({"to": 2}),
    }
    with on_the_line(tmp_path, facts=facts) as line, httpx.Client(base_url=line.url) as client:
        assert client.put("/facts/reed%207", json={"value": True}).status_code == 202
        assert line.station.facts == {"lamp_lit": False}
        for path in ("/by-hand/reed%207", "/by-hand/lamp_lit"):
            assert client.put(path, json={"value": True}).status_code == 202
            assert line.station.facts == {"lamp_lit": True}
        assert "not believed" in problem(client.put("/facts/crates_open", json={"value": 4}), 422)
        assert client.put("/by-hand/crates_open", json={"value": 4}).status_code == 202
        assert "bounds" in problem(client.put("/by-hand/crates_open", json={"value": 5}), 422)
        for event in line.station.heard:
            assert isinstance(event, SetFact)
            line.tell(FactChanged(0, event.fact, event.value, event.source))
        for path in ("/by-hand/reed%207", "/facts/reed%207", "/facts/lamp_lit"):
            assert client.get(path).json() == {"value": True}
        assert client.get("/facts").json()["crates_open"] == 4
        assert client.put("/by-hand/lmap", json={"value": True}).status_code == 404
        assert "takes true or false" in problem(
            client.put("/by-hand/lamp_lit", json={"value": 1}), 422
        )


def test_the_document_has_the_bounds_of_each(tmp_path: Path) -> None:
    """A sensor's are those of the settings, a hand's and what is read those of the script."""
    facts = {"crates_open": FactSettings.model_validate({"to": 2})}
    with on_the_line(tmp_path, facts=facts) as line:
        paths = httpx.get(f"{line.url}/openapi.json").json()["paths"]
        told = httpx.get(f"{line.url}/programme").json()["facts"]["crates_open"]
    most = {}
    for path in (told["path"], told["by_hand"]):
        put, get = paths[path]["put"]["requestBody"], paths[path]["get"]["responses"]["200"]
        for one in (put, get):
            schema = one["content"]["application/json"]["schema"]["properties"]["value"]
            most.setdefault(path, []).append(schema["maximum"])
    assert most == {"/facts/crates_open": [2, 4], "/by-hand/crates_open": [4, 4]}
    assert told["maximum"] == 4


def test_several_facts_are_taken_together_or_not_at_all(line: Line, client: httpx.Client) -> None:
    """One that cannot be taken keeps the others out, and the operator is told."""
    answer = client.patch("/facts", json={"lamp_lit": True, "crates_open": 9})
    assert "`9` is outside its bounds" in problem(answer, 422)
    assert not line.station.heard
    assert isinstance(line.station.reported[0], Refused)
    assert "There is no fact `lamp`. Did you mean `lamp_lit`?" in problem(
        client.patch("/facts", json={"lamp": True}), 422
    )


@pytest.mark.parametrize(
    ("method", "path", "body", "event"),
    [
        ("POST", "/session/start", None, StartSession()),
        ("POST", "/hint", None, GiveHint()),
        ("POST", "/hint", {}, GiveHint()),
        ("POST", "/jump", {"segment": "the gate"}, Jump("the gate", JumpTiming.AFTER_ITEM)),
        ("POST", "/jump", {"segment": "watch", "timing": "now"}, Jump("watch", JumpTiming.NOW)),
        (
            "POST",
            "/jump",
            {"segment": "watch", "transition": "retune sweep"},
            Jump("watch", transition="retune sweep"),
        ),
        ("DELETE", "/jump", None, TakeBackJump()),
        ("POST", "/signal", {"strength": 2}, SetSignal(2.0)),
        ("DELETE", "/signal", None, SetSignal(None)),
        ("POST", "/readability", {"grade": 3.5}, SetReadability(3.5)),
        ("DELETE", "/readability", None, SetReadability(None)),
        ("POST", "/announcement", {"text": "Wait.", "now": True}, Announce("Wait.", now=True)),
        (
            "POST",
            "/plain-voice",
            {"text": "Leave.", "confirm": "plain voice"},
            PlainVoice("Leave.", source="http"),
        ),
        (
            "POST",
            "/plain-voice/stop",
            {"confirm": "stop plain voice"},
            StopPlainVoice(source="http"),
        ),
    ],
)
def test_an_order_becomes_its_event(
    line: Line, client: httpx.Client, method: str, path: str, body: Any, event: object
) -> None:
    """With what the body says, and the source that only the station knows."""
    more = {} if body is None else {"json": body}
    assert client.request(method, path, **more).status_code == 202
    assert line.station.heard == [event]


@pytest.mark.parametrize(
    ("path", "body", "said"),
    [
        ("/jump", {"segment": "the gat"}, "Did you mean `the gate`?"),
        ("/jump", {"segment": "watch", "timing": "soon"}, "none of"),
        ("/jump", {"segment": "watch", "event": "hold"}, "does not belong here"),
        ("/jump", {}, "lacks `segment`"),
        ("/announcement", {"text": "..."}, "needs words"),
        ("/announcement", {"text": "a" * 5001}, "5000 are allowed"),
        ("/announcement", {"text": "a\x1b[2J"}, "no text"),
        ("/announcement", {"text": "a", "source": "me"}, "does not belong"),
        ("/plain-voice", {"text": "Leave."}, '"confirm": "plain voice"'),
        ("/plain-voice", {"confirm": True}, '"confirm": "plain voice"'),
        ("/plain-voice/stop", {"confirm": "plain voice"}, '"confirm": "stop plain voice"'),
    ],
)
def test_an_order_that_is_not_understood_changes_nothing(
    line: Line, client: httpx.Client, path: str, body: dict[str, Any], said: str
) -> None:
    """It is refused in a sentence; grave ones need their name said once more."""
    assert said in problem(client.post(path, json=body), 422)
    assert not line.station.heard


JSON = {"Content-Type": "application/json"}


@pytest.mark.parametrize(
    ("content", "headers", "status"),
    [
        (b"{", JSON, 400),
        (b"\xff", JSON, 400),
        (b'{"value": NaN}', JSON, 400),
        (b"[" * 60_000, JSON, 400),
        (b"[]", JSON, 400),
        (b"{}" + b" " * MOST_BYTES, JSON, 413),
        (b'{"value": true}', {"Content-Type": "text/plain"}, 415),
        (b'{"value": true}', {}, 415),
        (b"", JSON, 400),
    ],
)
def test_a_body_that_is_none_is_refused(
    line: Line, client: httpx.Client, content: bytes, headers: dict[str, str], status: int
) -> None:
    """No JSON, too long, or told to be something else: which a form of another site would be."""
    problem(client.put("/facts/lamp_lit", content=content, headers=headers), status)
    assert not line.station.heard


def test_the_pages_transitions_are_the_scripts(client: httpx.Client) -> None:
    """Each can be chosen for a jump, and no other."""
    choice = client.get("/").text.partition('<select id="transition">')[2].partition("</select>")[0]
    assert tuple(re.findall(r"<option>(.*?)</option>", choice)) == TRANSITIONS


def test_what_is_not_there_is_told_as_a_problem(client: httpx.Client) -> None:
    """Paths, facts, and methods, which are told by `Allow`."""
    problem(client.get("/fact"), 404)
    problem(client.put("/facts/nix", json={"value": 1}), 404)
    answer = client.post("/status")
    problem(answer, 405)
    assert set(answer.headers["allow"].split(", ")) == {"GET", "HEAD"}


def on_a_line_of_its_own(line: Line, *said: bytes) -> bytes:
    """What one caller is answered to these, one after the other, until the line is closed."""
    host, port = line.url.removeprefix("http://").split(":")
    answer = b""
    with (
        socket.create_connection((host, int(port)), timeout=5.0) as caller,
        contextlib.suppress(ConnectionError),  # where the line is cut, not closed
    ):
        for part in said:
            caller.sendall(part)
        while heard := caller.recv(4096):
            answer += heard
    return answer


def test_what_is_no_http_is_answered_as_a_problem(line: Line) -> None:
    """And the line is closed."""
    answer = on_a_line_of_its_own(line, b"HELO station\r\n\r\n")
    head, _, body = answer.partition(b"\r\n\r\n")
    assert head.startswith(b"HTTP/1.1 400 ")
    assert b"application/problem+json" in head
    assert json.loads(body)["detail"] == "This is not HTTP."


def test_a_head_that_never_ends_is_cut_off(line: Line, monkeypatch: pytest.MonkeyPatch) -> None:
    """By its length, and by the time that it takes; a caller who says nothing is, too."""
    begun = b"GET /status HTTP/1.1\r\nHost: 127.0.0.1\r\n"
    assert on_a_line_of_its_own(line, begun, b"X-Filler: 1\r\n" * 100_000) == b""
    monkeypatch.setattr(http_patience, "HEAD_S", 0.2)
    assert on_a_line_of_its_own(line, begun) == b""
    assert on_a_line_of_its_own(line) == b""


def test_requests_sent_together_are_answered_in_their_order(line: Line) -> None:
    """However they are cut into pieces."""
    wanted = b"GET /facts/crates_open HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n"
    last = b"GET /status HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n"
    whole = wanted * 40 + last
    answer = on_a_line_of_its_own(line, whole[:-30], whole[-30:])
    assert answer.count(b"HTTP/1.1 200 OK") == 41
    assert answer.count(b'{"value":0}') == 40
    assert b'"session"' in answer.rpartition(b"HTTP/1.1 200 OK")[2]


def test_too_many_commands_are_told_when_to_come_again(line: Line, client: httpx.Client) -> None:
    """429 with Retry-After; nothing is lost without a word."""
    answers = [client.post("/hint") for _ in range(40)]
    refused = [answer for answer in answers if answer.status_code == 429]
    assert refused
    assert all(int(answer.headers["retry-after"]) >= 1 for answer in refused)
    assert len(refused) + len(line.station.heard) == 40


def test_a_flood_of_facts_is_never_refused_and_its_end_is_right(
    line: Line, client: httpx.Client
) -> None:
    """All are accepted, few reach the station, and the last of them does."""
    for number in range(600):
        assert client.put("/facts/crates_open", json={"value": number % 5}).status_code == 202
    assert client.put("/facts/crates_open", json={"value": 2}).status_code == 202
    for _ in range(200):
        if line.station.facts["crates_open"] == 2 and len(line.station.heard) < 600:
            break
        client.get("/status")
    assert line.station.heard[-1] == SetFact("crates_open", 2, "http")


def test_how_things_stand_is_told(client: httpx.Client) -> None:
    """The programme's segments and facts, every fact's value, and the station's state."""
    programme = client.get("/programme").json()
    assert programme["segments"] == {"watch": "The first.", "the gate": ""}
    assert programme["facts"]["gate"]["path"] == "/facts/fen%2Fgate%201"
    assert client.get("/facts").json() == {
        "crates_open": 0,
        "lamp_lit": False,
        "fen/gate 1": "shut",
    }
    assert client.get("/facts/crates_open").json() == {"value": 0}
    assert client.get("/status").json()["session"] == "stand by"
