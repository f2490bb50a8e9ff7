"""Several stations in one command: what each of them is asked for, and what cannot go together."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import combinations
from pathlib import Path

from broadcaster.air.orders import safe_name
from broadcaster.air.sides import without_side
from broadcaster.desk.faultless import faultless_programme
from broadcaster.desk.of_each import of_each
from broadcaster.desk.places import log_name, settings_file
from broadcaster.desk.session import Wishes
from broadcaster.errors import Fault, ScriptError, UsageError
from broadcaster.script.programme import Programme
from broadcaster.script.venue_settings import VenueSettings, read_settings


@dataclass(frozen=True, slots=True)
class Several:
    """What was asked for on the command line, for several scripts at once."""

    scripts: tuple[str, ...]
    outputs: tuple[str, ...] = ()
    """Each for all (`silent`), or for one of them (`heron.yaml=Desk speakers, left`)."""
    settings: tuple[str, ...] = ()
    """Likewise: `venue.yaml`, `heron.yaml=heron-room.yaml`."""
    start: bool = False
    length_s: float | None = None
    seed: int = 0
    cache: str | None = None
    log: str | None = None
    """The folder for their logs; None: the user's own."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """One of the stations."""

    callsign: str
    wishes: Wishes


def wanted_stations(several: Several, now: datetime) -> list[Wanted]:
    """Each station that is asked for.

    Raises ScriptError with the faults of all scripts, UsageError for what cannot go together.
    """
    outputs = of_each("--output", several.outputs, several.scripts)
    settings = of_each("--settings", several.settings, several.scripts)
    programmes = _programmes(several.scripts)
    folder = _log_folder(several.log)
    wanted = []
    for script, programme in zip(several.scripts, programmes, strict=True):
        callsign = programme.station.callsign
        wishes = Wishes(
            script=script,
            output=outputs[script] or "auto",
            start=several.start,
            length_s=several.length_s,
            seed=several.seed,
            cache=several.cache,
            log=str(folder / log_name(safe_name(callsign), now)) if folder else None,
            settings=settings[script],
        )
        wanted.append(Wanted(callsign, wishes))
    _refuse_shared("name", wanted, [(_Shared(safe_name(one.callsign)),) for one in wanted])
    _refuse_shared("output", wanted, [tuple(_sides(one.wishes.output)) for one in wanted])
    opened = [
        tuple(_opened(programme, one.wishes))
        for one, programme in zip(wanted, programmes, strict=True)
    ]
    _refuse_shared("settings", wanted, opened)
    return wanted


def _programmes(scripts: Sequence[str]) -> list[Programme]:
    programmes: list[Programme] = []
    faults: list[Fault] = []
    for script in scripts:
        try:
            programmes.append(faultless_programme(script))
        except ScriptError as error:
            faults += error.faults
    if faults:
        raise ScriptError(faults)
    return programmes


def _log_folder(told: str | None) -> Path | None:
    if told is None:
        return None
    folder = Path(told)
    if folder.exists() and not folder.is_dir():
        raise UsageError(f"--log: several stations have a log each; {folder} is no folder.")
    return folder


@dataclass(frozen=True, slots=True)
class _Shared:
    """Something that one station alone can have; shown: how a person calls it."""

    key: str
    shown: str = ""


_SENTENCES: dict[str, Callable[[str, str, str], str]] = {
    "name": lambda one, other, _: (
        f"{one} and {other} have the same callsign, and so one name for their logs and topics; "
        "give one of them another `callsign`."
    ),
    "output": lambda one, other, shown: (
        f"{one} and {other} would be heard on top of each other, on the output {shown!r}; "
        f"give each its own, or a side: `--output '{other}=DEVICE, left'`."
    ),
    "settings": lambda one, other, shown: (
        f"{one} and {other} both want {shown}; "
        f"give each its own settings: `--settings {other}=FILE`."
    ),
}


def _refuse_shared(
    what: str, wanted: Sequence[Wanted], all_held: Sequence[Sequence[_Shared]]
) -> None:
    """Raises UsageError, with the two scripts, for what two stations would both hold."""
    for (one, held), (other, too) in combinations(zip(wanted, all_held, strict=True), 2):
        keys = {shared.key for shared in held}
        for shared in too:
            if shared.key in keys:
                scripts = one.wishes.script, other.wishes.script
                raise UsageError(_SENTENCES[what](*scripts, shared.shown))


def _sides(output: str) -> Iterator[_Shared]:
    """The channels of a device that a station sounds on."""
    name, side = without_side(output)
    if name != "silent":
        for one in (side,) if side else ("left", "right"):
            yield _Shared(f"{name}, {one}", name)


def _opened(programme: Programme, wishes: Wishes) -> Iterator[_Shared]:
    """What a station's settings open that is there only once."""
    path = settings_file(wishes.settings, wishes.script)
    if path is not None:
        settings = read_settings(path, programme)
        for shown in _only_once(settings, programme.station.callsign):
            yield _Shared(shown, f"{shown} ({path})")


def _only_once(settings: VenueSettings, callsign: str) -> Iterator[str]:
    http, osc, serial, mqtt, lamp = (
        settings.http,
        settings.osc,
        settings.serial,
        settings.mqtt,
        settings.lamp,
    )
    if http:
        yield f"TCP port {http.port} at {http.address}"
    if osc and osc.port:
        yield f"{osc.over.upper()} port {osc.port} at {osc.address}"
    if serial:
        yield f"the serial line {serial.port or serial.usb}"
    if mqtt:
        yield f"the topic {mqtt.venue}/{mqtt.station or callsign} at {mqtt.broker}"
    if lamp and "pins" in lamp.over:
        yield f"pin {lamp.pin}"
