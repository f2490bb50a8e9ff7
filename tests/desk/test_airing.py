"""A station that dies is replaced, and what was still to happen in the session still happens."""

from dataclasses import dataclass

from broadcaster.air.orders import Orders
from broadcaster.clock import VirtualClock
from broadcaster.desk.airing import Airing
from broadcaster.record.asrun import AsRunLog
from broadcaster.story.events import (
    EndSession,
    Hold,
    InEvent,
    OutEvent,
    OutputState,
    Refused,
    SetFact,
    StartSession,
    Trouble,
)
from broadcaster.story.state import State
from broadcaster.units import RATE
from tests.rehearsal.make import night_watch


@dataclass
class Life:
    """What a station tells before it dies, and where the story stands then."""

    tells: list[OutEvent]
    state: State | None = None


class DyingLink:
    """A link whose station dies as soon as it has told what it was told to tell."""

    closed = False

    def __init__(self, *lives: Life) -> None:
        self.lives = list(lives)
        self.given: list[Orders] = []

    @property
    def gone(self) -> bool:
        return not self.lives[0].tells

    @property
    def checkpoint(self) -> State | None:
        return self.lives[0].state

    def greeting(self) -> list[OutEvent]:
        return []

    def events(self) -> list[OutEvent]:
        told, self.lives[0].tells = self.lives[0].tells, []
        return told

    def start(self) -> None:
        self.lives.pop(0)

    def give(self, orders: Orders) -> None:
        self.given.append(orders)

    def send(self, event: InEvent) -> bool:
        del event
        return bool(self.lives[0].tells)

    def listen(self, ear) -> None:
        self.ear = ear

    def last_words(self) -> str:
        return "It was ended by the signal SIGKILL."


def at(seconds: int) -> OutputState:
    return OutputState(seconds * RATE, seconds * RATE, "silent", False, 0, 0, -20.0, -30.0)


def test_a_new_station_goes_on_from_where_the_old_one_stood(monkeypatch, tmp_path):
    """With its state, and with what had not happened of the agenda; twice."""
    monkeypatch.setattr("broadcaster.desk.airing.SHORT_LIFE_S", 0.0)
    first, second = State((True,), segment="light"), State((False,), segment="watch")
    link = DyingLink(Life([at(10)], first), Life([at(20)], second), Life([]))
    agenda = (
        (0, StartSession()),
        (4 * RATE, SetFact("lamp", True, "events file")),
        (25 * RATE, SetFact("gate", "ajar", "events file")),
        (50 * RATE, EndSession()),
    )
    orders = Orders(night_watch(), "silent", length=60 * RATE, agenda=agenda)
    airing = Airing(link, orders, AsRunLog(tmp_path / "log.jsonl"), VirtualClock())
    for _ in range(4):
        told = airing.events()
    assert isinstance(told[0], Trouble)
    assert [given.state for given in link.given] == [first, second]
    lost = [given.state_frame - of * RATE for given, of in zip(link.given, (10, 20), strict=True)]
    assert all(0 <= frames < RATE for frames in lost)  # what passed until it was noticed
    assert [given.agenda for given in link.given] == [
        (
            (15 * RATE - lost[0], SetFact("gate", "ajar", "events file")),
            (40 * RATE - lost[0], EndSession()),
        ),
        ((20 * RATE - sum(lost), EndSession()),),
    ]
    assert [given.length for given in link.given] == [
        50 * RATE - lost[0],
        30 * RATE - sum(lost),
    ]


def test_a_station_that_never_began_is_replaced_by_one_that_does_all(monkeypatch, tmp_path):
    """It told nothing of where it stood: its orders are another's, from their first frame on."""
    monkeypatch.setattr("broadcaster.desk.airing.SHORT_LIFE_S", 0.0)
    link = DyingLink(Life([]), Life([]))
    orders = Orders(night_watch(), "silent", agenda=((0, StartSession()),))
    airing = Airing(link, orders, AsRunLog(tmp_path / "log.jsonl"), VirtualClock())
    airing.events()
    assert link.given == [orders]


def test_a_fact_that_no_station_heard_is_told_to_the_new_one(monkeypatch, tmp_path):
    """The room does not say it again; the newest value counts."""
    monkeypatch.setattr("broadcaster.desk.airing.SHORT_LIFE_S", 0.0)
    link = DyingLink(Life([at(10)], State((False,))), Life([]))
    log = AsRunLog(tmp_path / "log.jsonl")
    airing = Airing(link, Orders(night_watch(), "silent"), log, VirtualClock())
    airing.events()
    airing.send(SetFact("lamp", False, "http"))
    airing.send(SetFact("lamp", True, "http"))
    airing.send(Hold())
    airing.events()
    assert link.given[0].agenda == ((0, SetFact("lamp", True, "http")),)


def test_what_the_desk_itself_reports_is_shown_logged_and_heard(tmp_path):
    """Once each, by whoever looks, whoever reads, and whoever listens."""
    log = AsRunLog(tmp_path / "log.jsonl")
    link = DyingLink(Life([at(10)]))
    airing = Airing(link, Orders(night_watch(), "silent"), log, VirtualClock())
    heard = []
    airing.listen(lambda events, news: heard.extend(events))
    refused = Refused(airing.frame, "mqtt: There is no fact `lmap`.")
    airing.report(refused)
    assert airing.events() == [at(10), refused]
    assert "lmap" in (tmp_path / "log.jsonl").read_text()
    assert heard == [refused]
    assert airing.frame == 10 * RATE
