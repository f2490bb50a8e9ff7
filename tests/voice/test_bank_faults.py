"""A script that asks a recorded voice for what nobody recorded: found by `check`, with its line."""

import shutil

import pytest

from broadcaster.desk.faultless import unplayable
from broadcaster.errors import ScriptError
from broadcaster.script.loading import examine
from broadcaster.script.shelves import voice_files
from broadcaster.script.voice_profiles import read_voice
from tests.voice.clock_bank import FOLDER

SCRIPT = """\
programme: A test
station:
  callsign: Heron
  frequency: 91.3 MHz
  voice: clock
opening: watch
phrases:
  Low tide: low water
facts:
  crates_open: 0
segments:
  watch:
    repeat: yes
    play:
      - {item}
"""


def faults_of(folder, item):
    """What `check` says of one item, said by the shipped clock, each as line and message."""
    script = folder / "script.yaml"
    script.write_text(SCRIPT.format(item=item))
    examination = examine(str(script))
    assert not examination.faults
    return [(fault.place.line, fault.message) for fault in unplayable(examination)]


@pytest.mark.parametrize(
    ("item", "lacking"),
    [
        ("say: At the last stroke, it will be {clock}, precisely.", None),
        ("say: Heron calling. {session time}, {time left}.", None),
        ("say: Low tide.", None),  # by the phrase dictionary
        ("groups: 41972 08310", None),
        ("spell: REED 7", None),
        ("say: The gate is open, and the gate is lit.", "`the`, `gate`, `is`, `open` and `lit`"),
        ("say: 'stand by, {crates_open} crates'", "`crates`"),
    ],
)
def test_words_that_nobody_recorded(tmp_path, item, lacking):
    """Each word without a clip is named once, at the item's line; values are tried too."""
    expected = [(15, f"The voice `clock` has no clip of {lacking}.")] if lacking else []
    assert faults_of(tmp_path, item) == expected


def test_wording_between_readings_counts(tmp_path):
    """What the voice says between two readings must have been recorded, unless it is read once."""
    bank = tmp_path / "voices" / "clock"
    shutil.copytree(FOLDER, bank)
    (bank / "i say again.flac").unlink()
    shutil.copy(voice_files()["clock"], tmp_path / "voices")
    assert faults_of(tmp_path, "groups: 41972")[0][1].endswith("no clip of `i`, `say` and `again`.")
    assert faults_of(tmp_path, "{groups: 41972, readings: once}") == []


def test_a_fallback_needs_no_clips(tmp_path):
    """A voice with a fallback can say anything."""
    bank = tmp_path / "voices" / "clock"
    shutil.copytree(FOLDER, bank)
    profile = voice_files()["clock"].read_text() + "fallback: espeak\n"
    (tmp_path / "voices" / "clock.yaml").write_text(profile)
    assert faults_of(tmp_path, "say: The gate is open.") == []


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("engine: bank", "1:1: `engine: bank` needs `bank`. Add it."),
        ("engine: neural", "1:1: `engine: neural` needs `voice file`. Add it."),
        ("engine: bank\nbank: gone", "2:7: There is no folder `gone`."),
        ("engine: bank\nbank: .", "2:7: There is no `bank.yaml` in `.`. Write one beside"),
        ("engine: neural\nvoice file: gone.onnx", "2:13: There is no file"),
        ("bank: clock", "1:1: `bank` means nothing with `engine: espeak`."),
        ("fallback: system", "1:1: `fallback` means nothing with `engine: espeak`."),
        ("voice file: a.onnx", "1:1: `voice file` means nothing with `engine: espeak`."),
    ],
)
def test_profiles_that_lead_nowhere(tmp_path, text, fault):
    """A profile whose bank or voice file is missing, or means nothing, is a fault at its place."""
    path = tmp_path / "odd.yaml"
    path.write_text(f"{text}\nabout: a test\n")
    with pytest.raises(ScriptError) as caught:
        read_voice(path)
    assert fault in str(caught.value)
