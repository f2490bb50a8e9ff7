"""The venue's settings, `station.yaml`: how the room talks to a station, and the station to it.

What is not named here is not open: no port, no broker, no lamp. A secret never stands here; it
stands in a file, or in the environment, and only where is told.
"""

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Annotated, ClassVar, Literal

from pydantic import Field
from pydantic.json_schema import SkipJsonSchema

from broadcaster.errors import Fault, ScriptError
from broadcaster.script.building import build
from broadcaster.script.check_timetable import out_of_place
from broadcaster.script.check_venue import fact_faults, lamp_faults
from broadcaster.script.facts import Integer
from broadcaster.script.forms import Form
from broadcaster.script.programme import Programme
from broadcaster.script.reading import read_file
from broadcaster.script.scene import Written
from broadcaster.script.shapes import AtLeast, EachOnce
from broadcaster.script.tree import Mapping as Keys
from broadcaster.script.tree import Node
from broadcaster.script.values import Seconds, Whole, Words, YesNo
from broadcaster.script.venue_values import (
    HIGHEST_PORT,
    Address,
    Host,
    HostAndPort,
    UsbIdentity,
)

Port = Annotated[Whole, Field(ge=1, le=HIGHEST_PORT)]

THIS_MACHINE = "127.0.0.1"
"""The loopback address: nobody but this machine's own programs reaches it (RFC 1122, 3.2.1.3)."""
LOOPBACK = (THIS_MACHINE, "::1", "localhost")
"""Addresses at which nobody else reaches it."""

LampWay = Literal["serial", "mqtt", "osc", "pins"]
"""What a lamp can be driven by."""


class FactSettings(Form):
    """How one fact of the script is reported from outside."""

    named: Words | None = None
    """What the outside calls it; without it, its name in the script."""
    steady_for: Annotated[Seconds, Field(ge=0, le=60)] = 0.0
    """A value counts once it has not changed for so long: for switches that bounce."""
    hold_for: Annotated[Seconds, Field(ge=0, le=3600)] = 0.0
    """After a change the value is kept at least so long; then the newest one counts."""
    inverted: YesNo = False
    """A yes from outside is a no, and the other way round."""
    progress: YesNo = True
    """A change of it shows that the team gets on: it ends the `quiet time`."""
    from_: Integer | None = Field(default=None, alias="from")
    """The least that is believed of a number; what is beyond is refused."""
    to: Integer | None = None
    """The most that is believed of it."""


class HttpSettings(Form):
    """The desk page, and a door for programs, by HTTP."""

    belongs: ClassVar[Mapping[str, str]] = {
        "key file": "certificate file",
        "certificate file": "key file",
    }

    port: Port = 8091
    """Where it listens."""
    address: Words = THIS_MACHINE
    """From where it can be reached: this machine alone, unless an address of it is given here."""
    token_file: Words | None = None
    """A file, readable by you alone, whose first line is what callers must know."""
    token_from: Words | None = None
    """The environment variable that holds it instead."""
    hosts: tuple[Words, ...] = ()
    """Further names under which browsers may call: `desk.example`."""
    certificate_file: Words | None = None
    """With it the line is encrypted (TLS)."""
    key_file: Words | None = None
    """The certificate's private key; the same file, where both stand in one."""


class MqttSettings(Form):
    """A broker that carries facts and commands in, and the station's state out."""

    belongs: ClassVar[Mapping[str, str]] = {"password file": "user", "password from": "user"}

    broker: Host
    """Its host; a port has a key of its own."""
    port: Port | None = None
    """1883, or 8883 where the line is encrypted, if left out."""
    version: Literal["5", "3.1.1"] = "5"
    """Of the protocol."""
    encrypted: YesNo = False
    """The line is encrypted (TLS), and the broker's certificate must be good."""
    authority_file: Words | None = None
    """Who vouches for that certificate, if it is not one that this machine trusts already."""
    user: Words | None = None
    """As whom the station logs in."""
    password_file: Words | None = None
    """A file, readable by you alone, whose first line is the password."""
    password_from: Words | None = None
    """The environment variable that holds it instead."""
    venue: Words = "venue"
    """The first level of every topic."""
    station: Words | None = None
    """The second level; the callsign, if left out."""


class OscSettings(Form):
    """Open Sound Control (version 1.0) in, and out."""

    port: Port | None = None
    """Where it listens; without it, nowhere."""
    address: Words = THIS_MACHINE
    """From where it can be reached: this machine alone, unless an address of it is given here."""
    over: Literal["udp", "tcp"] = "udp"
    """How messages come."""
    callers: Annotated[tuple[Address, ...], EachOnce()] = ()
    """The only addresses from which messages are taken; from any that reaches it, if left out."""
    send_to: Annotated[tuple[HostAndPort, ...], EachOnce()] = ()
    """Who is told what happens: `192.0.2.7:9000`."""


class SerialSettings(Form):
    """A microcontroller on a serial line."""

    exactly_one: ClassVar[tuple[tuple[str, ...], ...]] = (("port", "usb"),)

    port: Words | None = None
    """The port's name: `/dev/ttyACM0`, `COM3`."""
    usb: UsbIdentity | None = None
    """The USB identity instead, whichever port it is at: `2341:0043`, or with its serial number,
    `2341:0043 85734323331351F0C1A1`."""
    speed: Annotated[Whole, Field(ge=300, le=4_000_000)] = 115_200
    """Bits a second."""


class LampSettings(Form):
    """A lamp that follows the Morse."""

    belongs: ClassVar[Mapping[str, str]] = {"pin": "over"}

    over: Annotated[tuple[LampWay, ...], AtLeast(1), EachOnce()]
    """What drives it."""
    pin: Annotated[Whole, Field(ge=0, le=53)] | None = None
    """The pin of a Raspberry Pi, by its GPIO number."""
    inverted: YesNo = False
    """The lamp is lit while the key is up."""
    latency: Annotated[Seconds, Field(ge=0, le=10)] | None = None
    """How long sound takes from the station to the loudspeaker; measured, if left out."""
    at_most: Annotated[Whole, Field(ge=1, le=100)] | None = None
    """Flashes a second. More than three can harm people (WCAG 2.2, 2.3.1); the sound stays."""


class VenueSettings(Form):
    """The whole file."""

    http: HttpSettings | None = None
    """A page and a door by HTTP."""
    mqtt: MqttSettings | None = None
    """A broker."""
    osc: OscSettings | None = None
    """Open Sound Control."""
    serial: SerialSettings | None = None
    """A serial line."""
    lamp: LampSettings | None = None
    """A lamp in step with the Morse."""
    facts: dict[str, FactSettings] = Field(default_factory=dict)
    """How facts are reported, by their names in the script."""

    file: SkipJsonSchema[Path] = Field(default=Path(), alias="\0file")
    """Filled by the reader."""

    @property
    def folder(self) -> Path:
        """Where the files lie that it names."""
        return self.file.parent


SECTIONS = tuple(name for name in VenueSettings.model_fields if name not in ("facts", "file"))
"""What can be opened: each is off unless it is written."""


def read_settings(path: Path, programme: Programme) -> VenueSettings:
    """The settings in a file, for a programme whose facts they may name.

    Raises UsageError if the file cannot be opened, ScriptError with all that is wrong in it.
    """
    tree, faults = settings_tree(path)
    faults += _secrets(tree)
    built = build(tree, VenueSettings)
    faults += built.faults
    if built.form is not None and isinstance(tree, Keys):
        faults += _meaning(built.form, tree, programme)
    if faults or built.form is None:
        raise ScriptError(faults)
    return built.form.model_copy(update={"file": path})


def settings_tree(path: Path) -> tuple[Node, list[Fault]]:
    """A file of settings as a tree, and its faults; one in which nothing stands is good."""
    return read_file(path, may_be_empty=True)


_SECRETS = ("token", "password")


def _secrets(tree: Node) -> Iterator[Fault]:
    """Secrets that stand in the open; they are taken out."""
    sections = tree.values.values() if isinstance(tree, Keys) else ()
    for section in sections:
        for word in _SECRETS:
            if isinstance(section, Keys) and word in section.keys:
                yield Fault(
                    section.keys[word].place,
                    f"A {word} does not stand in this file.",
                    f"Write it into a file of its own and `{word} file: PATH`, or put it into the "
                    f"environment and write `{word} from: VARIABLE`.",
                )
                del section.keys[word], section.values[word]
                section.left_out.add(word)


def _meaning(settings: VenueSettings, tree: Keys, programme: Programme) -> Iterator[Fault]:
    for name in SECTIONS:
        form, node = getattr(settings, name), tree.values.get(name)
        if form is not None and isinstance(node, Keys):
            written = Written(form, node)
            yield from out_of_place(written)
            yield from _one_of(written, name)
            yield from _open_to_all(written)
    yield from lamp_faults(settings, tree)
    yield from fact_faults(settings.facts, tree.values.get("facts"), programme)


def _one_of(section: Written[Form], name: str) -> Iterator[Fault]:
    """Sections that need one of several keys, and secrets that are told twice."""
    groups = [(keys, True) for keys in section.form.exactly_one]
    groups += [((f"{word} file", f"{word} from"), False) for word in _SECRETS]
    for keys, needed in groups:
        there = [key for key in section.node.values if key in keys]
        if needed and not there and all(section.could_read(key) for key in keys):
            listed = " or ".join(f"`{key}`" for key in keys)
            yield Fault(section.place(), f"`{name}` lacks {listed}.", "Add one of the two.")
        for key in there[1:]:
            place = section.node.keys[key].place
            yield Fault(place, f"`{there[0]}` stands here too.", "Take one of the two out.")


def _open_to_all(section: Written[Form]) -> Iterator[Fault]:
    """A door for programs that anybody in the network could use."""
    form = section.form
    if not isinstance(form, HttpSettings) or form.address in LOOPBACK:
        return
    if not (form.token_file or form.token_from or "token" in section.node.left_out):
        yield section.fault(
            "address",
            "Beyond this machine nobody may be let in without a token.",
            "Add `token file: PATH` or `token from: VARIABLE`, or take `address` out.",
        )
