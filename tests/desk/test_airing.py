"""A station that dies is replaced, and what was still to happen in the session still happens."""

from collections.abc import Sequence

from broadcaster.air.orders import Orders
from broadcaster.clock import VirtualClock
from broadcaster.desk.airing import Airing
from broadcaster.record.asrun import AsRunLog
from broadcaster.story.events import (
    EndSession,
    FactChanged,
    Hold,
    InEvent,
    Jump,
    JumpTiming,
    OutEvent,
    OutputState,
    PlainVoice,
    PlainVoiceStarted,
    PlainVoiceStopped,
    ReadabilityChanged,
    Refused,
    SegmentEntered,
    SessionClock,
    SetFact,
    SetReadability,
    SetSignal,
    SignalChanged,
    StartSession,
    Trouble,
)
from broadcaster.units import RATE
from tests.rehearsal.make import night_watch


class DyingLink:
    """A link whose station dies as soon as it has told what it was told to tell."""

    closed = False

    def __init__(self, *lives: Sequence[OutEvent]) -> None:
        self.lives = [list(life) for life in lives]
        self.given: list[Orders] = []

    @property
    def gone(self) -> bool:
        return not self.lives[0]

    def greeting(self) -> list[OutEvent]:
        return []

    def events(self) -> list[OutEvent]:
        told, self.lives[0] = self.lives[0], []
        return told

    def start(self) -> None:
        self.lives.pop(0)

    def give(self, orders: Orders) -> None:
        self.given.append(orders)

    def send(self, event: InEvent) -> bool:
        del event
        return bool(self.lives[0])

    def listen(self, ear) -> None:
        self.ear = ear

    def last_words(self) -> str:
        return "It left no word."


def at(seconds: int) -> OutputState:
    return OutputState(seconds * RATE, seconds * RATE, "silent", False, 0, 0, -20.0, -30.0)


def test_a_new_station_goes_on_with_the_agenda(monkeypatch, tmp_path):
    """Facts, segment, what the operator set, and what had not happened of the agenda; twice."""
    monkeypatch.setattr("broadcaster.desk.airing.SHORT_LIFE_S", 0.0)
    lamp = FactChanged(4 * RATE, "lamp", True, "events file")
    told = [
        lamp,
        SignalChanged(4 * RATE, 2.0, "the script"),
        SignalChanged(4 * RATE, 3.0, "the operator"),
        ReadabilityChanged(4 * RATE, 4.5),
        SegmentEntered(4 * RATE, "light", "exit: lamp"),
        at(10),
    ]
    link = DyingLink(told, [ReadabilityChanged(RATE, None), at(20)], [])
    agenda = (
        (0, StartSession()),
        (4 * RATE, SetFact("lamp", True, "events file")),
        (25 * RATE, SetFact("gate", "ajar", "events file")),
        (50 * RATE, EndSession()),
    )
    orders = Orders(night_watch(), "silent", length=60 * RATE, agenda=agenda)
    log = AsRunLog(tmp_path / "log.jsonl")
    airing = Airing(link, orders, log, VirtualClock())
    for _ in range(4):
        told = airing.events()
    assert isinstance(told[0], Trouble)
    lit = (0, SetFact("lamp", True, "events file"))
    signal, readability = (0, SetSignal(3.0)), (0, SetReadability(4.5))
    into = ((0, StartSession()), (0, Jump("light", JumpTiming.NOW)))
    later = (
        (15 * RATE, SetFact("gate", "ajar", "events file")),
        (40 * RATE, EndSession()),
    )
    assert [given.agenda for given in link.given] == [
        (lit, signal, readability, *into, *later),
        (lit, signal, *into, (20 * RATE, EndSession())),
    ]
    assert [given.length for given in link.given] == [50 * RATE, 30 * RATE]


def replaced(monkeypatch, tmp_path, *told: OutEvent) -> tuple[InEvent, ...]:
    """What a new station is to do on its first frame, after the old one told these."""
    monkeypatch.setattr("broadcaster.desk.airing.SHORT_LIFE_S", 0.0)
    link = DyingLink([SegmentEntered(RATE, "light", "jump"), *told, at(10)], [])
    log = AsRunLog(tmp_path / "log.jsonl")
    airing = Airing(link, Orders(night_watch(), "silent"), log, VirtualClock())
    airing.events()
    airing.events()
    return tuple(event for frame, event in link.given[0].agenda if frame == 0)


def test_a_new_station_is_held_as_the_old_one_was(monkeypatch, tmp_path):
    """The session stands where it stood, until the operator resumes it."""
    held = SessionClock(3 * RATE, 2 * RATE, running=False)
    assert replaced(monkeypatch, tmp_path, held)[-1] == Hold()
    resumed = SessionClock(4 * RATE, 2 * RATE, running=True)
    assert Hold() not in replaced(monkeypatch, tmp_path, held, resumed)


def test_a_new_station_speaks_plainly_as_the_old_one_did(monkeypatch, tmp_path):
    """Who stands in the room must not be left without it; what was stopped stays so."""
    started = PlainVoiceStarted(3 * RATE, "Stand still.", "operator")
    told = replaced(monkeypatch, tmp_path, started)
    assert told[-1] == PlainVoice("Stand still.", "operator")
    stopped = PlainVoiceStopped(4 * RATE, "operator")
    assert not any(
        isinstance(event, PlainVoice) for event in replaced(monkeypatch, tmp_path, started, stopped)
    )


def test_a_fact_that_no_station_heard_is_told_to_the_new_one(monkeypatch, tmp_path):
    """The room does not say it again; the newest value counts, after what the old one knew."""
    monkeypatch.setattr("broadcaster.desk.airing.SHORT_LIFE_S", 0.0)
    link = DyingLink([FactChanged(RATE, "lamp", False, "mqtt"), at(10)], [])
    log = AsRunLog(tmp_path / "log.jsonl")
    airing = Airing(link, Orders(night_watch(), "silent"), log, VirtualClock())
    airing.events()
    airing.send(SetFact("lamp", False, "http"))
    airing.send(SetFact("lamp", True, "http"))
    airing.send(Hold())
    airing.events()
    assert link.given[0].agenda == (
        (0, SetFact("lamp", False, "mqtt")),
        (0, SetFact("lamp", True, "http")),
    )


def test_what_the_desk_itself_reports_is_shown_logged_and_heard(tmp_path):
    """Once each, by whoever looks, whoever reads, and whoever listens."""
    log = AsRunLog(tmp_path / "log.jsonl")
    link = DyingLink([at(10)])
    airing = Airing(link, Orders(night_watch(), "silent"), log, VirtualClock())
    heard = []
    airing.listen(lambda events, news: heard.extend(events))
    refused = Refused(airing.frame, "mqtt: There is no fact `lmap`.")
    airing.report(refused)
    assert airing.events() == [at(10), refused]
    assert "lmap" in (tmp_path / "log.jsonl").read_text()
    assert heard == [refused]
    assert airing.frame == 10 * RATE
