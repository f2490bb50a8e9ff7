"""MQTT: facts and commands in by a broker; status, as-run records and the key of the Morse out.

Any standard broker will do, and the same broker makes many stations a venue (mqtt_venue.py). The
broadcast does not notice when it is gone.
"""

import asyncio
import json
import secrets
from collections import deque
from contextlib import suppress
from typing import Any, NoReturn

from aiomqtt import Client, Message, MqttError, Will

from broadcaster.record.asrun import record_line
from broadcaster.room.json_text import object_in
from broadcaster.room.mqtt_consoles import Consoles
from broadcaster.room.mqtt_inlet import SOURCE, Inlet
from broadcaster.room.mqtt_line import (
    ENCRYPTED_PORT,
    PLAIN_PORT,
    Broker,
    hear_from,
    line_to,
    while_it_stands,
)
from broadcaster.room.mqtt_programme import programme_record
from broadcaster.room.mqtt_topics import (
    AS_RUN,
    ASK,
    COMMAND,
    CONSOLE,
    FACT,
    FACTS,
    HAPPENED,
    KEY,
    PROGRAMME,
    STATUS,
    TOLD,
    Topics,
    checked_level,
    event_level,
    level_of,
)
from broadcaster.room.part import Surroundings
from broadcaster.room.secret import read_secret
from broadcaster.room.tidings import Tidings
from broadcaster.script.names import clipped
from broadcaster.script.venue_settings import MqttSettings
from broadcaster.story.events import OutEvent, OutputState, name_of

BURST_S = 0.03
"""What happens within so long is told together."""
STATUS_S, OUTPUT_S = 0.1, 1.0
"""The least time between two `status`, and between two where only the output's state is news."""
MOST_UNTOLD = 4000
"""Records and tidings that wait for a line; beyond them the oldest are dropped. The log has all."""
MOST_KEYING = 50
"""Turns of the key that wait for the line: more are of no use to a lamp."""
GOODBYE_S = 1.5
"""How long the last words may take."""
OFFLINE = "offline"
"""The station's state where its desk is not heard: whether it is on air, nobody knows."""


def open_part(settings: MqttSettings, around: Surroundings) -> "MqttPart":
    """The part of the section `mqtt`. Raises UsageError where the settings cannot be obeyed."""
    return MqttPart(settings, around)


class MqttPart:
    """One station's line to a broker."""

    def __init__(self, settings: MqttSettings, around: Surroundings) -> None:
        self._around = around
        self._broker = _broker(settings, around)
        callsign = around.programme.station.callsign
        station = settings.station
        self._topics = Topics(
            checked_level("venue", settings.venue),
            level_of(callsign) if station is None else checked_level("station", station),
        )
        self._inlet = Inlet(around.intake)
        self._consoles = Consoles(around.standing)
        self._me = secrets.token_hex(4)
        self._twin_told = False
        self._denied_told = False
        self._client: Client | None = None
        self._tidings = Tidings()
        self._untold: deque[tuple[str, str]] = deque(maxlen=MOST_UNTOLD)
        self._down: bool | None = None
        self._keying: set[asyncio.Task[None]] = set()
        self._news = asyncio.Event()
        self._changed = True
        self._status_s = -OUTPUT_S

    async def run(self) -> None:
        """Keep a line until cancelled. Raises BroadcasterError if there is none, or it is lost."""
        will = Will(self._topics.below(STATUS), self._offline(), qos=1, retain=True)
        async with line_to(self._broker, self._hear, will, self._note_denied) as client:
            try:
                await hear_from(client, self._heard_topics())
                programme = _json(programme_record(self._around.programme))
                await client.publish(self._topics.below(PROGRAMME), programme, 1, retain=True)
                self._client, self._changed = client, True
                self._around.is_well("mqtt")
                if self._down is not None:
                    self.key(down=self._down)
                await while_it_stands(client, self._speak(client))
            except asyncio.CancelledError:
                await self._say_goodbye(client)
                raise
            finally:
                self._client = None
                self._consoles.forget_all()

    def tell(self, event: OutEvent) -> None:
        """Something happened on air."""
        line = record_line(event)
        if line is not None:
            self._untold.append((f"{AS_RUN}/{event_level(name_of(type(event)))}", line))
        tiding = self._tidings.of(event)
        if tiding:
            self._untold.append((f"{HAPPENED}/{tiding.name}", json.dumps(tiding.values)))
        self._changed |= not isinstance(event, OutputState)
        self._consoles.tell(event)
        self._news.set()

    def key(self, *, down: bool) -> None:
        """The key goes down, or up, now."""
        self._down = down
        if self._client and len(self._keying) < MOST_KEYING:
            turn = asyncio.ensure_future(
                self._client.publish(self._topics.below(KEY), "1" if down else "0")
            )
            self._keying.add(turn)
            turn.add_done_callback(self._note_turned)

    def _note_turned(self, turn: "asyncio.Task[None]") -> None:
        self._keying.discard(turn)
        if not turn.cancelled():
            turn.exception()  # a line that is lost ends run(), which tells it

    # --- what comes ------------------------------------------------------------------------------

    def _heard_topics(self) -> list[str]:
        below = self._topics.below
        return [
            below(FACT, "#"),
            below(FACTS),
            below(COMMAND),
            below(CONSOLE, "+", ASK),
            below(CONSOLE, "+", COMMAND),
            below(STATUS),
        ]

    def _hear(self, message: Message) -> None:
        kept, payload = message.retain, message.payload
        match self._topics.levels_of(message.topic.value):
            case ["fact", *name]:
                self._inlet.fact("/".join(name), payload, kept=kept)
            case ["facts"]:
                self._inlet.facts(payload, kept=kept)
            case ["command"]:
                self._inlet.command(payload, kept=kept)
            case ["console", name, "ask"] if not kept:
                self._asked(name, payload)
            case ["console", name, "command"]:
                self._commanded(name, payload, kept=kept)
            case ["status"] if not kept:
                self._look_for_twin(payload)

    def _asked(self, name: str, payload: bytes) -> None:
        now_s = self._around.clock.seconds()
        if not self._consoles.ask(name, anew=payload == b"anew", now_s=now_s):
            self._around.intake.refuse(SOURCE, f"The console {clipped(name)} is one too many.")
        self._news.set()

    def _commanded(self, name: str, payload: bytes, *, kept: bool) -> None:
        if self._consoles.knows(name):
            self._inlet.command(payload, kept=kept, source=f"{SOURCE} {name}")
        else:
            self._around.intake.refuse(
                SOURCE, f"The console {clipped(name)} commands, but has not asked how things stand."
            )

    def _look_for_twin(self, payload: bytes) -> None:
        """Two stations of one name would look like one that jumps to and fro."""
        try:
            told = object_in(payload)
        except ValueError:
            told = {}
        twin = told.get("station") == "on air" and told.get("desk") != self._me
        if twin and not self._twin_told:
            self._twin_told = True
            self._around.trouble(
                f"Another station is `{self._topics.station}` on the broker {self._broker}, too: "
                "give one of them another name (`station:` in `mqtt`)."
            )

    # --- what goes -------------------------------------------------------------------------------

    async def _speak(self, client: Client) -> NoReturn:
        while True:
            with suppress(TimeoutError):
                async with asyncio.timeout(STATUS_S if self._changed else None):
                    await self._news.wait()
            self._news.clear()
            await self._tell_all(client)
            await asyncio.sleep(BURST_S)

    async def _tell_all(self, client: Client) -> None:
        now_s = self._around.clock.seconds()
        for name, package in self._consoles.take(now_s):
            await client.publish(self._topics.below(CONSOLE, name, TOLD), package)
        while self._untold:
            below, told = self._untold[0]
            await client.publish(self._topics.below(below), told, 1)
            self._untold.popleft()
        if now_s - self._status_s >= (STATUS_S if self._changed else OUTPUT_S):
            self._changed, self._status_s = False, now_s
            await client.publish(self._topics.below(STATUS), self._status(), retain=True)

    def _note_denied(self) -> None:
        """Whoever has no right to publish would else look like one that is not there."""
        if not self._denied_told:
            self._denied_told = True
            self._around.trouble(
                f"The broker {self._broker} does not let us publish: give our user the right to, "
                f"for all below `{self._topics.below()}`."
            )

    async def _say_goodbye(self, client: Client) -> None:
        """The broker tells the last will of those only who leave without a word."""
        try:
            async with asyncio.timeout(GOODBYE_S):
                self._status_s -= OUTPUT_S
                await self._tell_all(client)
                if self._around.status.as_record()["station"] != "closed":
                    topic = self._topics.below(STATUS)
                    await client.publish(topic, self._offline(), 1, retain=True)
        except (MqttError, TimeoutError):
            return  # then the broker tells it

    def _status(self) -> str:
        wall = self._around.clock.wall().isoformat(timespec="milliseconds")
        return _json({**self._around.status.as_record(), "told": wall, "desk": self._me})

    def _offline(self) -> str:
        programme = self._around.programme
        return _json(
            {
                "station": OFFLINE,
                "programme": programme.programme,
                "callsign": programme.station.callsign,
                "frequency": programme.station.frequency,
            }
        )


def _broker(settings: MqttSettings, around: Surroundings) -> Broker:
    folder = around.settings.folder
    usual = ENCRYPTED_PORT if settings.encrypted else PLAIN_PORT
    authority = settings.authority_file
    return Broker(
        host=settings.broker,
        port=settings.port or usual,
        version=settings.version,
        encrypted=settings.encrypted,
        authority=None if authority is None else folder / authority,
        user=settings.user,
        password=read_secret(folder, settings.password_file, settings.password_from),
    )


def _json(record: dict[str, Any]) -> str:
    return json.dumps(record, ensure_ascii=False)
