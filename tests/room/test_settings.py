"""The venue's settings: nothing is open that they do not name, and no secret stands in them."""

import json
from pathlib import Path

import jsonschema
import pytest

from broadcaster.errors import ScriptError
from broadcaster.script.schema import settings_schema
from broadcaster.script.venue_settings import SECTIONS, VenueSettings, read_settings
from tests.room.make import two_segments

WHOLE = """\
http: {port: 8091, address: 192.0.2.7, token file: token.txt, hosts: [desk.example]}
mqtt:
  broker: broker.example
  encrypted: yes
  user: heron
  password from: HERON_PASSWORD
osc: {port: 9000, over: tcp, callers: [192.0.2.9], send to: ["192.0.2.9:9001"]}
serial: {usb: "2341:0043"}
lamp: {over: [serial, pins], pin: 17, latency: 120 ms, at most: 3}
facts:
  lamp: {named: reed 7, steady for: 50 ms, hold for: 2 s, inverted: yes, progress: no}
  crates: {from: 0, to: 4}
"""


def settings_of(folder: Path, text: str) -> VenueSettings:
    path = folder / "station.yaml"
    path.write_text(text, encoding="utf-8")
    return read_settings(path, two_segments())


def faults_of(folder: Path, text: str) -> list[str]:
    """What is said of each fault, with its line and column."""
    with pytest.raises(ScriptError) as error:
        settings_of(folder, text)
    return [f"{f.place.line}:{f.place.column} {f.message} {f.mend}" for f in error.value.faults]


def test_nothing_is_open_by_default() -> None:
    """A file without a word opens no section; a section that is there only reaches this machine."""
    assert all(getattr(VenueSettings(), section) is None for section in SECTIONS)


def test_what_listens_listens_to_this_machine_alone(tmp_path) -> None:
    """Unless an address is written; and OSC listens nowhere without a port."""
    settings = settings_of(tmp_path, "http: {port: 8091}\nosc: {over: udp}\n")
    assert settings.http is not None
    assert settings.osc is not None
    assert settings.http.address == settings.osc.address == "127.0.0.1"
    assert settings.osc.port is None


def test_a_whole_file_is_read(tmp_path) -> None:
    """Every section, in the script's own ways of writing."""
    settings = settings_of(tmp_path, WHOLE)
    assert settings.file == tmp_path / "station.yaml"
    assert settings.mqtt is not None
    assert settings.mqtt.password_from == "HERON_PASSWORD"
    assert settings.lamp is not None
    assert settings.lamp.latency == pytest.approx(0.12)
    lamp = settings.facts["lamp"]
    assert (lamp.named, lamp.steady_for, lamp.hold_for) == ("reed 7", 0.05, 2.0)
    assert (lamp.inverted, lamp.progress) == (True, False)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("http: {token: abc}", "1:8 A token does not stand in this file."),
        ("mqtt: {broker: b, user: u, password: p}", "1:28 A password does not stand"),
        ("http: {address: 0.0.0.0}", "1:17 Beyond this machine nobody may be let in without"),
        ('http: {address: "::"}', "1:18 Beyond this machine"),
        ("http: {token file: a, token from: B}", "1:23 `token file` stands here too."),
        ("http: {key file: k}", "1:8 `key file` belongs to `certificate file`"),
        ("http: {port: 0}", "1:14 `port` is `0`. It can be from 1 to 65535."),
        ("htp: {}", "1:1 `htp` is not known here. Did you mean `http`?"),
        ("mqtt: {}", "1:7 `mqtt` lacks `broker`."),
        ("mqtt: {broker: b, password file: p}", "1:19 `password file` belongs to `user`"),
        ("serial: {speed: 9600}", "1:9 `serial` lacks `port` or `usb`."),
        ("serial: {port: a, usb: '2341:0043'}", "1:19 `port` stands here too."),
        (
            "serial: {usb: arduino}",
            "1:15 `arduino` is no USB identity: vendor and product",
        ),
        ('serial: {usb: "2341:43"}', "1:16 `2341:43` is no USB identity"),
        ('serial: {usb: "2341:0043 two words"}', "1:16 `2341:0043 two words` is no USB identity"),
        ('mqtt: {broker: "localhost:18830"}', "1:17 `localhost:18830` is a host and a port. Write"),
        ('mqtt: {broker: "mqtt://desk.example"}', "1:17 `mqtt://desk.example` is no host."),
        ('osc: {send to: ["127.0.0.1"]}', "1:18 `127.0.0.1` is no address with a port behind it."),
        ('osc: {send to: ["192.0.2.9:0"]}', "1:18 `192.0.2.9:0` is no address with a port"),
        ("osc: {callers: [heron]}", "1:17 `heron` is no address. Write it as `192.0.2.9`."),
        ("http: {certificate file: c}", "1:8 `certificate file` belongs to `key file`, which"),
        (
            "lamp: {at most: 3}",
            "1:7 `lamp` lacks `over`. Add `over: [serial]`; it can hold `serial`, `mqtt`, `osc` "
            "and `pins`.",
        ),
        ("lamp: {over: [serial]}", "1:15 There is no `serial` in this file."),
        ("lamp: {over: [pins]}", "1:15 Which pin drives the lamp is not told."),
        ("lamp: {over: []}", "1:14 Nothing drives the lamp."),
        ("facts: {lmap: {}}", "1:9 There is no fact `lmap`. Did you mean `lamp`?"),
        ("facts: {lamp: {steady for: 1}}", "1:28 `1` is not a duration."),
        ("facts: {crates: {inverted: yes}}", "1:18 This fact is a number. Take `inverted` out."),
        ("facts: {gate: {from: 1}}", "1:16 This fact is a name. Take `from` out."),
        ("facts: {crates: {from: 4, to: 1}}", "1:31 This is below `from`, which is 4."),
        ("facts: {lamp: {named: x}, gate: {named: x}}", "1:41 `lamp` is called the same."),
        ("facts: {lamp: {named: gate}}", "1:23 `gate` is a fact of the script."),
    ],
)
def test_each_fault_has_its_place_and_a_way_to_mend_it(tmp_path, text, said) -> None:
    """One sentence for what was found."""
    (fault,) = faults_of(tmp_path, text)
    assert fault.startswith(said)


@pytest.mark.parametrize("text", ["", "# http: {port: 8091}\n", "---\n# facts:\n#   lamp: {}\n"])
def test_a_file_in_which_nothing_stands_opens_nothing(tmp_path, text) -> None:
    """Sections are closed by taking them out; the last one, too."""
    settings = settings_of(tmp_path, text)
    assert settings == VenueSettings().model_copy(update={"file": tmp_path / "station.yaml"})


@pytest.mark.parametrize(
    ("section", "key", "written"),
    [
        ("mqtt", "broker", "192.0.2.5"),
        ("mqtt", "broker", "2001:db8::5"),
        ("mqtt", "broker", "desk.example"),
        ("osc", "send to", ["desk.example:9001", "[2001:db8::5]:9001"]),
        ("osc", "callers", ["192.0.2.9", "2001:db8::5", "fe80::1%eth0"]),
        ("serial", "usb", "2341:0043:85734323331351F0C1A1"),
    ],
)
def test_where_others_are_can_be_said_in_several_ways(tmp_path, section, key, written) -> None:
    """By name, by either kind of address; and an editor's schema takes what the reader takes."""
    text = json.dumps({section: {key: written}})
    form = getattr(settings_of(tmp_path, text), section)
    value = getattr(form, key.replace(" ", "_"))
    assert (list(value) if isinstance(value, tuple) else value) == written
    assert jsonschema.Draft7Validator(settings_schema()).is_valid(json.loads(text))


def test_all_faults_are_told_at_once(tmp_path) -> None:
    """Those of form and those of meaning."""
    text = "http: {port: x, address: 0.0.0.0}\nserial: {}\nfacts: {nothing: {}}\n"
    assert [fault.split()[0] for fault in faults_of(tmp_path, text)] == [
        "1:14",
        "1:26",
        "2:9",
        "3:9",
    ]
