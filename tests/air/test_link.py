"""The station's end of the link: what a desk that comes late is told, and what it may send."""

import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from multiprocessing import Pipe
from multiprocessing.connection import Client, Connection, Listener

from broadcaster.air.link import DeskLink
from broadcaster.air.orders import Checkpoint, Greeting
from broadcaster.story.events import (
    AnnouncementsWaiting,
    FactChanged,
    GiveHint,
    Held,
    HintReady,
    MilestoneMet,
    MilestoneOverdue,
    OutEvent,
    Placed,
    PlainVoiceStarted,
    Resumed,
    RoundEnds,
    SessionClock,
    SessionEnded,
    SessionRestored,
    SessionStarted,
    Stalled,
)
from broadcaster.story.state import State

KEY = b"a secret"


@contextmanager
def linked() -> Iterator[tuple[DeskLink, Connection, str]]:
    """A link, its first desk, and the address at which it can be met again."""
    listener = Listener(authkey=KEY)
    ours, theirs = Pipe()
    link = DeskLink(listener, ours)
    link.start()
    yield link, theirs, str(listener.address)
    link.close()


def told_to_a_late_desk(events: list[OutEvent]) -> Greeting:
    with linked() as (link, desk, address):
        link.tell(events)
        heard = []
        while len(heard) < len(events):
            heard += desk.recv()
        desk.close()
        return Client(address, authkey=KEY).recv()


def test_a_desk_that_comes_late_is_told_how_things_stand_in_their_order() -> None:
    """Of what has a latest only that; each fact and each milestone for itself."""
    events: list[OutEvent] = [
        SessionStarted(1),
        FactChanged(2, "lamp", True, "room"),
        MilestoneOverdue(3, "gate"),
        Held(4),
        Resumed(5),
        FactChanged(6, "lamp", False, "room"),
        SessionEnded(7, "the operator"),
        SessionStarted(8),
        MilestoneOverdue(9, "lamp"),
        Stalled(10, "lamp"),
        MilestoneMet(11, "lamp"),
        Held(12),
    ]
    assert told_to_a_late_desk(events) == Greeting([events[2], *events[4:]], os.getpid())


def test_a_desk_that_comes_late_knows_what_the_operator_can_do() -> None:
    """What the session's clock shows, what waits, what a hint would say, that it speaks plainly."""
    events: list[OutEvent] = [
        SessionClock(1, 0, running=True),
        AnnouncementsWaiting(2, ("First.",)),
        SessionClock(3, 2, running=False),
        PlainVoiceStarted(4, "Stand still.", "operator"),
        HintReady(5, "watch", 1, 2, "gentle"),
        RoundEnds(6, 48_000, True),
        AnnouncementsWaiting(7, ()),
        SessionRestored(8),
    ]
    assert told_to_a_late_desk(events) == Greeting(events[2:], os.getpid())


def test_each_desk_is_told_where_the_story_stands() -> None:
    """Before what led there, and only if it is news; one that comes late is told at once."""
    with linked() as (link, desk, address):
        told = []
        for crates in (1, 1, 2):
            link.checkpoint = State((crates,))
            link.tell([Held(crates)])
            told.append(desk.recv())
            if isinstance(told[-1], Checkpoint):
                told.append(desk.recv())
        first, second = Checkpoint(State((1,))), Checkpoint(State((2,)))
        assert told == [first, [Held(1)], [Held(1)], second, [Held(2)]]
        desk.close()
        late = Client(address, authkey=KEY)
        assert isinstance(late.recv(), Greeting)
        assert late.recv() == Checkpoint(State((2,)))


def test_a_desk_may_send_an_event_with_its_frame() -> None:
    """It comes to the inbox as it is."""
    with linked() as (link, desk, _):
        desk.send(Placed(GiveHint(), 480_000))
        desk.send(GiveHint())
        while len(link.inbox) < 2:
            time.sleep(0.005)
        assert list(link.inbox) == [Placed(GiveHint(), 480_000), GiveHint()]


def test_what_a_desk_sends_ends_the_stations_sleep() -> None:
    """It need not wait until its time is over; without news it does."""
    with linked() as (link, desk, _):
        began = time.monotonic()
        desk.send(GiveHint())
        link.wait(30.0)
        assert link.inbox.popleft() == GiveHint()
        link.wait(0.01)
        assert time.monotonic() - began < 30.0
