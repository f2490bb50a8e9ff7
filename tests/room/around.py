"""What a part is made with, in tests: the programme of make.py, a station that notes, a clock."""

import asyncio
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Thread

from broadcaster.clock import Clock, SystemClock
from broadcaster.room.intake import Intake
from broadcaster.room.part import Part, Surroundings
from broadcaster.room.status import Status
from broadcaster.script.venue_settings import FactSettings, VenueSettings
from tests.room.make import Noted, two_segments


def surroundings(clock: Clock | None = None, **facts: FactSettings) -> tuple[Surroundings, Noted]:
    """Of one part, and the station behind it."""
    station, clock, programme = Noted(), clock or SystemClock(), two_segments()
    intake = Intake(programme, facts, station, clock)
    settings = VenueSettings(facts=facts)
    return (
        Surroundings(settings, programme, intake, Status(programme), station, clock),
        station,
    )


@contextmanager
def running(part: Part) -> Iterator[asyncio.AbstractEventLoop]:
    """A part that runs in a loop of its own, in a thread of its own; what it raised is raised."""
    loop = asyncio.new_event_loop()
    task = loop.create_task(part.run())
    thread = Thread(
        target=lambda: loop.run_until_complete(asyncio.wait({task})), name="part", daemon=True
    )
    thread.start()
    try:
        yield loop
    finally:
        loop.call_soon_threadsafe(task.cancel)
        thread.join(5.0)
        assert not thread.is_alive()
        loop.run_until_complete(loop.shutdown_default_executor())
        loop.close()
        if not task.cancelled() and (error := task.exception()):
            raise error
