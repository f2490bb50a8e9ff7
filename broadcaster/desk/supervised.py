"""A desk that a supervisor runs: `python -m broadcaster.desk.supervised SCRIPT`.

Its wishes are the first line of its input, as JSON; the line OFF_AIR takes its station off air.
Where its input ends without that line, the supervisor is gone: so the desk goes, too, and the
station goes on for the next. What the supervisor should know goes out as JSON lines, the last of
which says how it ended: a desk that does not say so has died.
"""

import json
import os
import sys
import threading
from collections.abc import Iterator, Sequence
from io import FileIO
from typing import TYPE_CHECKING, Any, TypeAlias

from broadcaster.clock import Clock
from broadcaster.desk.session import Watch, Wishes, put_on_air
from broadcaster.errors import BroadcasterError
from broadcaster.story.events import (
    CloseStation,
    Held,
    OutEvent,
    Refused,
    Resumed,
    SegmentEntered,
    SessionEnded,
    SettingsRead,
    StationClosed,
    StationOpened,
    Trouble,
)

if TYPE_CHECKING:
    from broadcaster.desk.airing import Airing
    from broadcaster.script.programme import Programme

OFF_AIR = b"off air\n"
LOOK_S = 0.1
"""How often it looks for news: as often as a station tells of its output."""

Said: TypeAlias = dict[str, Any]
"""What a desk says: `state` and `segment`, or a `sentence`, or the exit code at its end."""


class Listed:
    """How a station stands, told in as few words as a list of stations needs."""

    def __init__(self) -> None:
        self._state = ""
        self._segment: str | None = None
        self._told: Said = {}

    def hear(self, events: Sequence[OutEvent]) -> Iterator[Said]:
        """What is to be said of some news: sentences, and at the end how it stands, if changed."""
        for event in events:
            self._take(event)
            if isinstance(event, Refused | SettingsRead | Trouble):
                yield {"sentence": event.sentence}
        now = {"state": self._state, "segment": self._segment}
        if self._state and now != self._told:
            self._told = now
            yield now

    def _take(self, event: OutEvent) -> None:
        match event:
            case StationOpened() | SessionEnded():
                self._state, self._segment = "standing by", None
            case SegmentEntered():
                self._segment = event.segment
                self._state = "held" if self._state == "held" else "on air"
            case Held():
                self._state = "held"
            case Resumed():
                self._state = "on air"
            case StationClosed():
                self._state, self._segment = "off air", None


def main() -> int:
    """Air the script until it is over, or until the supervisor has had enough; exit code."""
    supervisor = FileIO(0, closefd=False)
    wishes = Wishes(**json.loads(supervisor.readline()))
    code, sentence = 0, ""
    try:
        put_on_air(wishes, _watch(supervisor))
    except BroadcasterError as error:
        code, sentence = error.exit_code, str(error)
    except BrokenPipeError:
        return 0  # there is no supervisor to tell
    _say({"code": code, "sentence": sentence})
    return code


def _watch(supervisor: FileIO) -> Watch:
    def watch(programme: "Programme", airing: "Airing", clock: Clock) -> None:
        del programme
        threading.Thread(target=_obey, args=(supervisor, airing), daemon=True).start()
        listed = Listed()
        while not airing.over:
            for said in listed.hear(airing.events()):
                _say(said)
            clock.wait(LOOK_S)

    return watch


def _obey(supervisor: FileIO, airing: "Airing") -> None:
    """Wait for the word to go off air. Without it, vanish as if killed: the station goes on."""
    if supervisor.readline() == OFF_AIR:
        airing.send(CloseStation())
    else:
        os._exit(0)


def _say(said: Said) -> None:
    sys.stdout.buffer.write(json.dumps(said).encode() + b"\n")
    sys.stdout.buffer.flush()


if __name__ == "__main__":
    sys.exit(main())
