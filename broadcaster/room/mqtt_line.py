"""A line to a broker (MQTT 5.0 or 3.1.1), and what can go wrong with it, in sentences."""

import asyncio
import logging
import socket
import ssl
from collections.abc import AsyncIterator, Callable, Coroutine, Iterable, Sequence
from contextlib import asynccontextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any, NoReturn

from aiomqtt import Client, Message, MqttCodeError, MqttError, ProtocolVersion, Will
from paho.mqtt.client import Client as PahoClient
from paho.mqtt.packettypes import PacketTypes
from paho.mqtt.properties import Properties
from paho.mqtt.reasoncodes import ReasonCode

from broadcaster.errors import BroadcasterError, StationError, UsageError
from broadcaster.room.mqtt_topics import MOST_BYTES

PLAIN_PORT, ENCRYPTED_PORT = 1883, 8883
"""Those registered for MQTT (IANA)."""
ANSWER_S = 10.0
"""How long a broker may take for an answer."""
KEEPALIVE_S = 10
"""After so long without a word each side asks whether the other is there; the broker tells the
last will after half as long again (MQTT 5.0, 3.1.2.10)."""
NOT_LET_IN = (134, 135)
"""Bad user name or password; not authorized (MQTT 5.0, 2.4)."""
REFUSED = 128
"""Reason codes from here on are failures (MQTT 5.0, 2.4)."""

_SILENT = logging.getLogger("broadcaster.room.mqtt")
_SILENT.disabled = True  # what fails is told as a sentence
Hear = Callable[[Message], None]


@dataclass(frozen=True, slots=True)
class Broker:
    """Where a broker is, and how to be let in."""

    host: str
    port: int
    version: str = "5"
    encrypted: bool = False
    authority: Path | None = None
    """Who vouches for the broker's certificate; None: whom this machine trusts."""
    user: str | None = None
    password: str | None = None

    def __str__(self) -> str:
        return f"{self.host}:{self.port}"


@asynccontextmanager
async def line_to(
    broker: Broker,
    hear: Hear,
    will: Will | None = None,
    denied: Callable[[], None] = lambda: None,
) -> AsyncIterator[Client]:
    """A line to a broker, while it stands. Raises UsageError or StationError where it does not.

    `hear` takes each message as it comes in, in the loop: nothing is ever queued on this side.
    `denied` is called where the broker says that we may not publish something; only MQTT 5 can.
    """
    client = _Client(
        broker.host,
        broker.port,
        username=broker.user,
        password=broker.password,
        logger=_SILENT,
        queue_type=_ear_of(hear),
        protocol=ProtocolVersion.V5 if broker.version == "5" else ProtocolVersion.V311,
        clean_session=None if broker.version == "5" else True,
        properties=_bounds() if broker.version == "5" else None,
        will=will,
        timeout=ANSWER_S,
        keepalive=KEEPALIVE_S,
        tls_context=_trust(broker) if broker.encrypted else None,
        socket_options=[(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)],  # a lamp cannot wait
    )
    client.denied = denied
    stands = False
    try:
        async with client:
            stands = True
            yield client
    except MqttError as error:
        lost = StationError(f"The line to the broker {broker} was lost.")
        raise (lost if stands else _not_had(broker, error)) from error


class _Client(Client):
    """The library's own, which does not tell what a broker answers to what was published."""

    denied: Callable[[], None]

    def _on_publish(
        self,
        client: PahoClient,
        userdata: object,
        mid: int,
        reason_code: ReasonCode,
        properties: Properties,
    ) -> None:
        super()._on_publish(client, userdata, mid, reason_code, properties)
        if reason_code.value >= REFUSED:
            self.denied()


async def hear_from(client: Client, topics: Iterable[str]) -> None:
    """Subscribe, so that no message is lost on a line that stands. Raises UsageError."""
    wanted = list(topics)
    codes: Sequence[Any] = await client.subscribe([(topic, 1) for topic in wanted])
    for topic, code in zip(wanted, codes, strict=True):
        if getattr(code, "value", code) >= REFUSED:
            raise UsageError(f"The broker does not let us hear `{topic}`: allow that there.")


async def while_it_stands(client: Client, work: Coroutine[Any, Any, NoReturn]) -> NoReturn:
    """Do work until the line is lost, which is raised; or whatever ends the work."""
    tasks = [asyncio.ensure_future(_lose(client)), asyncio.ensure_future(work)]
    try:
        done, _ = await asyncio.wait(tasks, return_when=asyncio.FIRST_COMPLETED)
    finally:
        for task in tasks:
            task.cancel()
        await asyncio.gather(*tasks, return_exceptions=True)
    raise next(task.exception() for task in done) or MqttError("The work was done")


async def _lose(client: Client) -> NoReturn:
    async for _ in client.messages:
        """Messages are heard on their way to here; there is only the end to wait for."""
    raise MqttError("No more messages")


def _ear_of(hear: Hear) -> type[asyncio.Queue[Message]]:
    class Ear(asyncio.Queue[Message]):
        """In the place of the library's queue, which would grow in a flood."""

        def put_nowait(self, item: Message) -> None:
            hear(item)

    return Ear


def _bounds() -> Properties:
    bounds = Properties(PacketTypes.CONNECT)  # type: ignore[no-untyped-call]
    bounds.MaximumPacketSize = 2 * MOST_BYTES
    return bounds


def _trust(broker: Broker) -> ssl.SSLContext:
    try:
        return ssl.create_default_context(cafile=broker.authority)
    except OSError as error:  # ssl.SSLError is one
        raise UsageError(
            f"The authority in {broker.authority} cannot be read: {error.strerror or error}."
        ) from error


def _not_had(broker: Broker, error: MqttError) -> BroadcasterError:
    """Why there is no line, in a sentence."""
    code = getattr(error.rc, "value", error.rc) if isinstance(error, MqttCodeError) else None
    if code in NOT_LET_IN:
        who = f"the user `{broker.user}` and this password" if broker.user else "us without a user"
        return UsageError(f"The broker {broker} does not let in {who}.")
    said = str(error)
    if "mismatch, certificate is not valid for" in said:
        return UsageError(
            f"The broker {broker} has a certificate for another name than `{broker.host}`: call it "
            "by a name that stands there, or have one made for this name."
        )
    if "CERTIFICATE_VERIFY_FAILED" in said:
        whom = f"{broker.authority}" if broker.authority else "this machine"
        return UsageError(f"The broker {broker} has a certificate that {whom} does not vouch for.")
    if "SSL" in said:
        return UsageError(f"The broker {broker} does not speak TLS there.")
    if "timed out" in said:
        also = "" if broker.encrypted else " If the line is encrypted there, say so."
        return StationError(f"The broker {broker} does not answer.{also}")
    return StationError(f"There is no line to the broker {broker}: {said.rstrip('.')}.")
