"""Who may call: nobody without settings, this machine alone by default, and a token beyond it."""

import asyncio
import os
import socket
import ssl
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import httpx
import pytest

from broadcaster.errors import UsageError
from broadcaster.room.http import HttpPart, is_loopback
from broadcaster.room.http_guard import Limits
from broadcaster.room.room import Room
from broadcaster.room.secret import SHORTEST_TOKEN
from broadcaster.script.venue_settings import HttpSettings, VenueSettings
from broadcaster.story.events import Refused
from broadcaster.story.in_events import GiveHint, PlainVoice, StopPlainVoice
from tests.room.broker import make_certificates
from tests.room.desk_line import Line, on_the_line, surroundings
from tests.services import needs

TOKEN = "a-token-of-many-letters"
BEYOND = "0.0.0.0"


@pytest.fixture
def line(tmp_path: Path) -> Iterator[Line]:
    with on_the_line(tmp_path) as line:
        yield line


@pytest.fixture
def guarded(tmp_path: Path) -> Iterator[Line]:
    (tmp_path / "token").write_text(f"{TOKEN}\n")
    limits = Limits(wrong_tokens=(0.001, 3))
    with on_the_line(
        tmp_path, limits=limits, address=BEYOND, token_file="token", hosts=("desk.example",)
    ) as line:
        yield line


def bearing(token: str) -> dict[str, str]:
    return {"Authorization": f"Bearer {token}"}


# --- the defaults ---------------------------------------------------------------------------------


def test_without_settings_nothing_listens(tmp_path: Path) -> None:
    """A room without `http` opens nothing, and has nothing to tell."""
    around, station = surroundings(tmp_path, HttpSettings())
    room = Room(VenueSettings(), around.programme, station, around.clock)
    room.start()
    room.hear([], news=False)
    room.close()
    assert not station.reported
    assert VenueSettings().http is None


def test_by_default_only_this_machine_can_call(line: Line) -> None:
    """It listens at 127.0.0.1 (RFC 1122, 3.2.1.3) and at no other address."""
    port = int(line.url.rpartition(":")[2])
    listeners = Path("/proc/net/tcp")
    if not listeners.exists():
        pytest.skip("no table of listening sockets here")
    rows = [row.split() for row in listeners.read_text().splitlines()[1:]]
    wanted = f":{port:04X}"
    addresses = {row[1] for row in rows if row[1].endswith(wanted) and row[3] == "0A"}
    assert addresses == {f"0100007F{wanted}"}


@pytest.mark.parametrize("address", [BEYOND, "::", "192.0.2.7", "desk.example"])
def test_beyond_this_machine_nothing_opens_without_a_token(tmp_path: Path, address: str) -> None:
    """One sentence says so, and what to add."""
    settings = HttpSettings(address=address)
    around, _ = surroundings(tmp_path, settings)
    with pytest.raises(UsageError, match=f"At {address} others .* add `token file: PATH`"):
        HttpPart(settings, around)


def test_a_token_that_can_be_guessed_is_refused(tmp_path: Path) -> None:
    """It has at least so many characters."""
    (tmp_path / "token").write_text("x" * (SHORTEST_TOKEN - 1))
    settings = HttpSettings(token_file="token")
    around, _ = surroundings(tmp_path, settings)
    with pytest.raises(UsageError, match="16 are the least"):
        HttpPart(settings, around)


def test_a_port_that_is_taken_is_told_in_a_sentence(tmp_path: Path) -> None:
    """The part fails, and nothing else does."""
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        settings = HttpSettings(port=other.getsockname()[1])
        around, _ = surroundings(tmp_path, settings)
        with pytest.raises(UsageError, match=r"^Cannot listen at 127\.0\.0\.1, port \d+: "):
            asyncio.run(HttpPart(settings, around).run())


@pytest.mark.parametrize(
    ("address", "alone"),
    [
        ("127.0.0.1", True),
        ("127.1.2.3", True),
        ("::1", True),
        ("localhost", True),
        ("0.0.0.0", False),
        ("::", False),
        ("10.0.0.1", False),
        ("127.0.0.1.example", False),
    ],
)
def test_which_addresses_are_this_machine_alone(address: str, alone: bool) -> None:
    """Only loopback ones, and no name but `localhost`."""
    assert is_loopback(address) is alone


# --- the token ------------------------------------------------------------------------------------


def test_only_who_knows_the_token_is_heard(guarded: Line) -> None:
    """Without it 401 and a challenge (RFC 6750, 3); with it the station obeys."""
    answer = httpx.post(f"{guarded.url}/hint")
    assert answer.status_code == 401
    assert answer.headers["www-authenticate"].startswith("Bearer")
    assert httpx.post(f"{guarded.url}/hint", headers=bearing(TOKEN[:-1])).status_code == 401
    assert not guarded.station.heard
    assert httpx.post(f"{guarded.url}/hint", headers=bearing(TOKEN)).status_code == 202
    assert guarded.station.heard == [GiveHint()]


def test_all_but_the_page_needs_the_token(guarded: Line) -> None:
    """The page itself is open, for nothing secret stands in it; its data is not."""
    document = httpx.get(f"{guarded.url}/openapi.json", headers=bearing(TOKEN)).json()
    for path, methods in document["paths"].items():
        for method in methods:
            answer = httpx.request(method.upper(), guarded.url + path)
            assert answer.status_code == 401, (method, path)
    page = httpx.get(f"{guarded.url}/")
    assert page.status_code == 200
    assert "Heron" not in page.text


def test_tokens_cannot_be_tried_without_end(guarded: Line) -> None:
    """After some wrong ones even the right one must wait: 429."""
    for number in range(3):
        wrong = httpx.get(f"{guarded.url}/status", headers=bearing(f"wrong {number}"))
        assert wrong.status_code == 401
    answer = httpx.get(f"{guarded.url}/status", headers=bearing(TOKEN))
    assert answer.status_code == 429
    assert int(answer.headers["retry-after"]) > 1


def test_wrong_tokens_leave_one_line_and_no_token_in_it(guarded: Line) -> None:
    """At the console and in the log; whoever gives none yet, as a page at first, leaves none."""
    httpx.get(f"{guarded.url}/status")
    assert not guarded.station.reported
    for _ in range(3):
        httpx.get(f"{guarded.url}/status", headers=bearing("not-the-token"))
    (told,) = guarded.station.reported
    assert isinstance(told, Refused)
    assert told.sentence == "http: A wrong token came; nothing was done."


def test_the_token_may_stand_in_the_environment(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """`token from` names the variable; where it is not set nothing opens."""
    settings = HttpSettings(address=BEYOND, token_from="DESK_TOKEN")
    around, _ = surroundings(tmp_path, settings)
    with pytest.raises(UsageError, match="DESK_TOKEN"):
        HttpPart(settings, around)
    monkeypatch.setitem(os.environ, "DESK_TOKEN", TOKEN)
    HttpPart(settings, around)


def _with_openssl(test: Callable[..., None]) -> Callable[..., None]:
    for mark in needs("openssl"):
        test = mark(test)
    return test


@_with_openssl
def test_the_line_can_be_encrypted(tmp_path: Path) -> None:
    """With a certificate it speaks TLS and nothing else; who vouches for it can be checked."""
    make_certificates(tmp_path)
    files = {"certificate_file": "broker.pem", "key_file": "broker.key"}
    with on_the_line(tmp_path, **files) as line:
        trust = ssl.create_default_context(cafile=str(tmp_path / "authority.pem"))
        own = {"Origin": line.url}
        assert httpx.post(f"{line.url}/hint", verify=trust, headers=own).status_code == 202
        with pytest.raises(httpx.TransportError):
            httpx.get(line.url.replace("https", "http"))


# --- other sites, other names ---------------------------------------------------------------------


@pytest.mark.parametrize(
    "host",
    ["evil.example", "127.0.0.1.evil.example", "localhost.evil.example", "192.0.2.7", "", "[::1"],
)
def test_a_name_that_is_not_ours_is_refused(line: Line, host: str) -> None:
    """A site that points its own name here (DNS rebinding) is not answered: 421."""
    answer = httpx.post(f"{line.url}/hint", headers={"Host": host})
    assert answer.status_code in (400, 421)  # 400: the name is not even well-formed
    assert answer.headers["content-type"] == "application/problem+json"
    assert not line.station.heard


@pytest.mark.parametrize("host", ["localhost:{}", "127.0.0.1:{}", "[::1]:{}", "LOCALHOST:{}"])
def test_this_machine_has_several_names(line: Line, host: str) -> None:
    """All of them are answered."""
    port = line.url.rpartition(":")[2]
    answer = httpx.get(f"{line.url}/status", headers={"Host": host.format(port)})
    assert answer.status_code == 200


def test_further_names_stand_in_the_settings(guarded: Line) -> None:
    """`hosts`, and beyond this machine also any address, which no site can point elsewhere."""
    for host in ("desk.example", "desk.example:80", "192.0.2.7"):
        headers = {"Host": host, **bearing(TOKEN)}
        assert httpx.get(f"{guarded.url}/status", headers=headers).status_code == 200
    headers = {"Host": "other.example", **bearing(TOKEN)}
    assert httpx.get(f"{guarded.url}/status", headers=headers).status_code == 421


@pytest.mark.parametrize(
    "told",
    [
        {"Origin": "http://evil.example"},
        {"Origin": "null"},
        {"Origin": "http://127.0.0.1"},  # another port is another origin (RFC 6454, 4)
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
        {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate"},
    ],
)
def test_pages_of_other_sites_cannot_move_the_station(line: Line, told: dict[str, str]) -> None:
    """What the browser says of them gives them away: 403."""
    answer = httpx.post(f"{line.url}/hint", headers=told)
    assert answer.status_code == 403
    assert not line.station.heard


def test_our_own_page_can_and_a_link_may_lead_to_it(line: Line) -> None:
    """The same origin is heard; whoever follows a link from elsewhere sees the page."""
    own: dict[str, Any] = {"Origin": line.url, "Sec-Fetch-Site": "same-origin"}
    assert httpx.post(f"{line.url}/hint", headers=own).status_code == 202
    followed = {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate"}
    assert httpx.get(f"{line.url}/", headers=followed).status_code == 200


def test_every_answer_tells_the_browser_to_be_careful(line: Line) -> None:
    """No script but ours, no frame around us, nothing guessed, nothing kept; errors too."""
    for path in ("/", "/status", "/nix"):
        headers = httpx.get(line.url + path).headers
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "frame-ancestors 'none'" in policy
        assert "unsafe" not in policy
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["cache-control"] == "no-store"
        assert "access-control-allow-origin" not in headers
        assert "server" not in headers


def test_who_calls_too_often_is_told_to_wait(tmp_path: Path) -> None:
    """All but reports of facts: those are shed by the intake, and never refused."""
    with on_the_line(tmp_path, limits=Limits(calls=(0.01, 5))) as line:
        codes = [httpx.get(f"{line.url}/status").status_code for _ in range(7)]
        assert codes[-1] == 429
        fact = httpx.put(f"{line.url}/facts/lamp_lit", json={"value": True})
        assert fact.status_code == 202


def test_no_flood_keeps_the_plain_voice_off_the_air(tmp_path: Path) -> None:
    """It and its end are counted apart from all other calls of the same address."""
    with on_the_line(tmp_path, limits=Limits(calls=(0.01, 3))) as line:
        codes = [httpx.post(f"{line.url}/hint").status_code for _ in range(5)]
        assert codes[-1] == 429
        for path, event in (
            ("/plain-voice", "plain voice"),
            ("/plain-voice/stop", "stop plain voice"),
        ):
            answer = httpx.post(line.url + path, json={"confirm": event})
            assert answer.status_code == 202
        assert line.station.heard[-2:] == [PlainVoice("", "http"), StopPlainVoice("http")]
