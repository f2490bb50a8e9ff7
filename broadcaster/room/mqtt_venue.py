"""The venue: all stations on a broker, from any machine that reaches it."""

import asyncio
import json
import threading
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from typing import Any, NoReturn

from aiomqtt import Client, Message, MqttError
from paho.mqtt.packettypes import PacketTypes
from paho.mqtt.properties import Properties

from broadcaster.clock import Clock
from broadcaster.errors import BroadcasterError, StationError
from broadcaster.room.json_text import object_in, printable
from broadcaster.room.mqtt_consoles import ASK_S
from broadcaster.room.mqtt_line import Broker, hear_from, line_to, while_it_stands
from broadcaster.room.mqtt_remote import RemoteAiring
from broadcaster.room.mqtt_topics import ASK, COMMAND, CONSOLE, PROGRAMME, STATUS, TOLD, Topics
from broadcaster.script.names import known_names
from broadcaster.script.programme import Programme

FIRST_WAIT_S, LONGEST_WAIT_S = 0.5, 10.0
"""How long after a line was lost it is tried again; twice as long each time."""
OPENING_S = 10.0
"""How long a station may take to answer."""
EXPIRY_S = 10
"""An order that the broker cannot pass on within so long is worth nothing (MQTT 5.0, 3.3.2.3)."""
MOST_STATIONS = 500
"""Names that are kept; a venue has fewer."""


@dataclass(frozen=True, slots=True)
class Word:
    """The last word of a station."""

    name: str
    """Its level on the broker."""
    record: Mapping[str, Any]
    """What room.status tells, or (`station: offline`) the last will."""
    heard_s: float
    """When it was heard, by this machine's clock."""
    kept: bool
    """Whether the broker had kept it, so that it may be old."""


class VenueLine:
    """A line to the venue's broker, in a thread of its own. It comes back by itself."""

    def __init__(self, broker: Broker, venue: str, clock: Clock) -> None:
        self.trouble = ""
        """Why there is no line now; empty: there is one."""
        self._broker = broker
        self._venue = venue
        self._clock = clock
        self._words: dict[str, Word] = {}
        self._remote: RemoteAiring | None = None
        self._client: Client | None = None
        self._loop = asyncio.new_event_loop()
        self._task: asyncio.Task[None] | None = None
        self._orders: set[asyncio.Task[None]] = set()
        self._hurry = asyncio.Event()
        self._tried = threading.Event()
        self._failure: BroadcasterError | None = None
        self._lost_s = 0.0
        self._thread = threading.Thread(target=self._live, name="venue", daemon=True)

    def start(self) -> None:
        """Have the line. Raises UsageError or StationError if the first attempt fails."""
        self._thread.start()
        self._tried.wait()
        if self._failure:
            self.close()
            raise self._failure

    def close(self) -> None:
        """Let go of it."""
        if self._task:
            self._in_loop(self._task.cancel)
            self._thread.join(2.0)

    def stations(self) -> list[Word]:
        """The last word of each station, by name."""
        return [word for _, word in sorted(self._words.items())]

    @property
    def known_s(self) -> float:
        """Up to when what stands here is known: now, or when the line was lost."""
        return self._lost_s if self.trouble else self._clock.seconds()

    def open(self, station: str) -> tuple[Programme, RemoteAiring]:
        """A station's programme, and the door to it. Raises StationError if it does not answer."""
        remote = RemoteAiring(station, self._order)
        self._remote = remote
        self._in_loop(self._follow)
        if not remote.ready.wait(OPENING_S) or remote.programme is None:
            self.leave()
            why = self.trouble or self._known(station)
            raise StationError(f"The station `{station}` does not answer. {why}".strip())
        return remote.programme, remote

    def _known(self, station: str) -> str:
        """What there is instead of a station that nobody has heard of."""
        if not self._words:
            return "No station has said a word on this broker."
        return "" if station in self._words else known_names(station, self._words)

    def leave(self) -> None:
        """Follow no station any more."""
        remote, self._remote = self._remote, None
        if remote:
            self._in_loop(lambda: self._forget(remote))

    # --- the thread ------------------------------------------------------------------------------

    def _live(self) -> None:
        asyncio.set_event_loop(self._loop)
        self._task = self._loop.create_task(self._stand())
        with suppress(asyncio.CancelledError):
            self._loop.run_until_complete(self._task)
        for order in self._orders:
            order.cancel()
        self._loop.run_until_complete(asyncio.gather(*self._orders, return_exceptions=True))
        self._tried.set()

    async def _stand(self) -> None:
        wait_s = FIRST_WAIT_S
        while True:
            try:
                async with line_to(self._broker, self._hear) as client:
                    await hear_from(client, [f"{self._venue}/+/{STATUS}"])
                    self._client, self.trouble = client, ""
                    self._tried.set()
                    wait_s = FIRST_WAIT_S
                    if self._remote:
                        await self._hear_station(client, self._remote)
                    await while_it_stands(client, self._ask(client))
            except BroadcasterError as error:
                self._note_lost(error)
            finally:
                self._client = None
            await asyncio.sleep(wait_s)
            wait_s = min(2 * wait_s, LONGEST_WAIT_S)

    def _note_lost(self, error: BroadcasterError) -> None:
        if not self.trouble:
            self._lost_s = self._clock.seconds()
        self.trouble = str(error)
        if not self._tried.is_set():
            self._failure = error
            self._tried.set()
        if self._remote:
            self._remote.hinder(f"{error} It is tried again.")

    def _in_loop(self, act: Callable[[], object]) -> None:
        if not self._loop.is_closed():
            self._loop.call_soon_threadsafe(act)

    # --- what comes ------------------------------------------------------------------------------

    def _hear(self, message: Message) -> None:
        name, *below = message.topic.value.removeprefix(f"{self._venue}/").split("/")
        try:
            self._take(name, below, printable(object_in(message.payload)), message)
        except (ValueError, TypeError, KeyError, AttributeError):
            return  # whoever sent it is no station of this version; there is nothing to be done
        except StationError as error:
            if self._remote:
                self._remote.hinder(str(error))

    def _take(self, name: str, below: list[str], told: dict[str, Any], message: Message) -> None:
        remote = self._remote if self._remote and self._remote.station == name else None
        if below == [STATUS]:
            if name in self._words or len(self._words) < MOST_STATIONS:
                word = Word(name, told, self._clock.seconds(), message.retain)
                self._words = {**self._words, name: word}
            if remote:
                remote.hear_state(str(told["station"]))
        elif remote and below == [PROGRAMME]:
            remote.hear_programme(told)
        elif remote and below == [CONSOLE, remote.name, TOLD]:
            remote.hear(told)
            if remote.anew:
                self._hurry.set()

    # --- what goes -------------------------------------------------------------------------------

    def _topics(self, remote: RemoteAiring) -> Topics:
        return Topics(self._venue, remote.station)

    def _follow(self) -> None:
        """Begin to hear the station that is to be opened."""
        if self._client and self._remote:
            self._spawn(self._hear_station(self._client, self._remote))

    async def _hear_station(self, client: Client, remote: RemoteAiring) -> None:
        topics = self._topics(remote)
        told = topics.below(CONSOLE, remote.name, TOLD)
        await hear_from(client, [topics.below(PROGRAMME), told])
        remote.anew = True
        self._hurry.set()

    async def _ask(self, client: Client) -> NoReturn:
        """Say again and again that the console is there."""
        while True:
            self._hurry.clear()
            if self._remote:
                topic = self._topics(self._remote).below(CONSOLE, self._remote.name, ASK)
                await client.publish(topic, "anew" if self._remote.anew else "on")
            with suppress(TimeoutError):
                async with asyncio.timeout(ASK_S):
                    await self._hurry.wait()
            await asyncio.sleep(0.1)  # however much is amiss, it is not asked for more often

    def _forget(self, remote: RemoteAiring) -> None:
        topics = self._topics(remote)
        if self._client:
            told = topics.below(CONSOLE, remote.name, TOLD)
            self._spawn(self._client.unsubscribe([topics.below(PROGRAMME), told]))

    def _order(self, remote: RemoteAiring, message: dict[str, Any]) -> None:
        """Send what the operator of a station does; from any thread."""
        self._in_loop(lambda: self._publish(remote, json.dumps(message, ensure_ascii=False)))

    def _publish(self, remote: RemoteAiring, message: str) -> None:
        topic = self._topics(remote).below(CONSOLE, remote.name, COMMAND)
        if self._client:
            self._spawn(self._client.publish(topic, message, 1, properties=self._expiry()))

    def _expiry(self) -> Properties | None:
        if self._broker.version != "5":
            return None
        expiry = Properties(PacketTypes.PUBLISH)  # type: ignore[no-untyped-call]
        expiry.MessageExpiryInterval = EXPIRY_S
        return expiry

    def _spawn(self, work: Any) -> None:  # noqa: ANN401  any coroutine
        task = self._loop.create_task(work)
        self._orders.add(task)
        task.add_done_callback(self._note_done)

    def _note_done(self, task: "asyncio.Task[None]") -> None:
        self._orders.discard(task)
        error = None if task.cancelled() else task.exception()
        if error and self._remote and isinstance(error, MqttError | BroadcasterError):
            self._remote.hinder(f"An order may not have come through: {error}.")
