"""Several scripts in one command: what each is asked for, and what cannot go together."""

from datetime import UTC, datetime

import pytest

from broadcaster.desk.of_each import of_each
from broadcaster.desk.several import Several, wanted_stations
from broadcaster.errors import ScriptError, UsageError

SCRIPT = """
programme: A Test
station: {{callsign: {callsign}, frequency: 91.3 MHz, voice: keeper}}
opening: watch
segments:
  watch: {{repeat: yes, play: [{{tone: 650 Hz, for: 1 s}}]}}
"""
NOW = datetime(1958, 11, 3, 20, 0, tzinfo=UTC)


@pytest.fixture
def scripts(tmp_path, monkeypatch):
    """Three scripts in a folder of their own, and no settings but what a test writes."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "none"))
    for name, callsign in (("a", "Heron"), ("b", "Curlew"), ("c", "heron")):
        (tmp_path / f"{name}.yaml").write_text(SCRIPT.format(callsign=callsign))
    return tmp_path


def asked(*scripts, **options):
    return wanted_stations(Several(scripts, **options), NOW)


def test_an_option_is_for_all_or_for_one_of_them():
    """A script's own goes before what is for all; names may have an equals sign."""
    told = ["silent", "a=b.yaml=Desk = 1, left"]
    assert of_each("--output", told, ["a=b.yaml", "c.yaml"]) == {
        "a=b.yaml": "Desk = 1, left",
        "c.yaml": "silent",
    }
    assert of_each("--output", [], ["a.yaml"]) == {"a.yaml": None}


@pytest.mark.parametrize(
    ("told", "sentence"),
    [
        (["d.yaml=silent"], "d.yaml is none of this command's scripts"),
        (["silent", "auto"], "given twice for all"),
        (["a.yaml=silent", "a.yaml=auto"], "given twice for a.yaml"),
    ],
)
def test_an_option_that_is_not_clear_is_refused(told, sentence):
    """And it is said what is wrong."""
    with pytest.raises(UsageError, match=sentence):
        of_each("--output", told, ["a.yaml", "b.yaml"])


def test_each_station_gets_its_own(scripts):
    """Its script, its output, its log in the folder that was named."""
    first, second = asked(
        "a.yaml", "b.yaml", outputs=("Desk, left", "b.yaml=Desk, right"), log="logs", seed=7
    )
    assert (first.callsign, first.wishes.output) == ("Heron", "Desk, left")
    assert (second.callsign, second.wishes.output) == ("Curlew", "Desk, right")
    assert second.wishes.log == "logs/curlew-1958-11-03-200000.jsonl"
    assert first.wishes.seed == second.wishes.seed == 7


@pytest.mark.parametrize(
    ("names", "options", "sentence"),
    [
        (("a.yaml", "c.yaml"), {"outputs": ("silent",)}, "a.yaml and c.yaml have the same call"),
        (("a.yaml", "b.yaml"), {}, "heard on top of each other, on the output 'auto'"),
        (("a.yaml", "b.yaml"), {"outputs": ("Desk, left", "b.yaml=Desk")}, "on the output 'Desk'"),
        (("a.yaml", "b.yaml"), {"outputs": ("silent",), "log": "a.yaml"}, "a.yaml is no folder"),
    ],
)
def test_what_cannot_go_together_is_refused(scripts, names, options, sentence):
    """In a sentence that names both scripts, before anything goes on air."""
    with pytest.raises(UsageError, match=sentence):
        asked(*names, **options)


@pytest.mark.parametrize(
    ("settings", "shown"),
    [
        ("http: {port: 8091}", "TCP port 8091 at 127.0.0.1"),
        ("osc: {port: 9000}", "UDP port 9000 at 127.0.0.1"),
        ("serial: {port: /dev/ttyACM0}", "the serial line /dev/ttyACM0"),
        ("mqtt: {broker: desk.example, station: one}", "the topic venue/one at desk.example"),
        ("lamp: {over: [pins], pin: 17}", "pin 17"),
    ],
)
def test_what_is_there_only_once_is_for_one_station(scripts, settings, shown):
    """Settings beside both scripts would open it twice; settings of its own mend that."""
    (scripts / "station.yaml").write_text(settings)
    (scripts / "other.yaml").write_text("{}")
    with pytest.raises(UsageError, match=rf"a.yaml and b.yaml both want {shown}"):
        asked("a.yaml", "b.yaml", outputs=("silent",))
    assert asked("a.yaml", "b.yaml", outputs=("silent",), settings=("b.yaml=other.yaml",))


def test_stations_that_only_call_a_broker_may_share_their_settings(scripts):
    """Each has its callsign as its topic."""
    (scripts / "station.yaml").write_text("mqtt: {broker: desk.example}")
    assert len(asked("a.yaml", "b.yaml", outputs=("silent",))) == 2


def test_the_faults_of_all_scripts_are_told(scripts):
    """Before anything goes on air."""
    for name in ("a", "b"):
        (scripts / f"{name}.yaml").write_text("programme: X\n")
    with pytest.raises(ScriptError) as caught:
        asked("a.yaml", "b.yaml", outputs=("silent",))
    assert {fault.place.file for fault in caught.value.faults} == {"a.yaml", "b.yaml"}
