"""Recorded banks: clips found by what is said, trimmed, levelled, and joined without a click."""

import json
import re

import numpy as np
import pytest
import soundfile

from broadcaster.cli import main
from broadcaster.errors import SpeechError, UsageError
from broadcaster.script.profiles import VoiceProfile
from broadcaster.script.shelves import find_bank, shipped_voices
from broadcaster.units import RATE, db_from_gain
from broadcaster.voice.bank import read_bank
from broadcaster.voice.bank_check import check_bank
from broadcaster.voice.finish import SPEECH_DBFS, sounding_rms
from broadcaster.voice.reading import read_groups, read_text
from broadcaster.voice.speaker import Speaker
from broadcaster.voice.utterance import utterance_of
from tests.fakes import FakeSpeaker
from tests.voice import clock_bank

CLIP_RATE_HZ = 16_000


def tone(seconds=0.3, gain=0.1, before=0.2, after=0.3, hz=300):
    """A clip: a tone that rises and falls in 20 ms, with silence before and after it; at a side
    without silence it is cut in mid-sound."""
    frames = round(seconds * CLIP_RATE_HZ)
    sound = gain * np.cos(2 * np.pi * hz * np.arange(frames) / CLIP_RATE_HZ)
    rise = np.linspace(0.0, 1.0, CLIP_RATE_HZ // 50)
    if before:
        sound[: len(rise)] *= rise
    if after:
        sound[-len(rise) :] *= rise[::-1]
    quiet = [np.zeros(round(part * CLIP_RATE_HZ)) for part in (before, after)]
    return np.concatenate([quiet[0], sound, quiet[1]])


@pytest.fixture
def folder(tmp_path):
    """A small bank: figures by sign and by word, a letter's code word, phrases."""
    (tmp_path / "bank.yaml").write_text("about: a test\ngap: 50 ms\ncomma gap: 400 ms\n")
    for name in ("7", "three", "november", "heron", "calling", "heron calling", "is lit", "the"):
        soundfile.write(tmp_path / f"{name}.flac", tone(), CLIP_RATE_HZ)
    soundfile.write(tmp_path / "lamp_is.ogg", tone(gain=0.05), CLIP_RATE_HZ)
    return tmp_path


def bank_voice(folder, **more):
    """A profile that speaks from the folder."""
    return VoiceProfile(about="a bank", engine="bank", bank=str(folder), **more)


@pytest.mark.parametrize(
    ("text", "pieces"),
    [
        ("Heron calling, Heron.", ["heron calling", "heron"]),
        ("The lamp is lit.", ["the", "lamp", "is lit"]),  # `lamp_is` would leave `lit`
        ("Lamp is!", ["lamp is"]),
        ("37 seven THREE", ["3", "7", "seven", "three"]),
        ("n", ["n"]),
        ("The gate", ["the", "gate"]),
    ],
)
def test_a_text_as_clips(folder, text, pieces):
    """As few clips as can be, that lack as little as can be; numbers figure by figure."""
    assert [piece.words for piece in read_bank(folder).pieces(text)] == pieces


def test_what_is_lacking_is_named(folder):
    """Words without a clip are told, each once; a figure may be named by its sign or its word."""
    bank = read_bank(folder)
    assert bank.lacks("Heron, the gate, the gate is lit: 3 or 4 & seven") == (
        "gate",
        "or",
        "4",
        "&",
    )
    assert [sign for sign in "3478NA" if not bank.says_singly(sign)] == ["4", "8", "A"]


def test_clips_are_trimmed_levelled_and_joined(folder):
    """Silence around clips goes, each is as loud as speech, gaps are the bank's, and where a clip
    is cut in mid-sound no frame jumps by more than a tone of that pitch and level does."""
    soundfile.write(folder / "three.flac", tone(before=0.0, after=0.0), CLIP_RATE_HZ)
    soundfile.write(folder / "lamp_is.ogg", tone(gain=0.05, before=0.0), CLIP_RATE_HZ)
    samples = Speaker(None).speak(utterance_of("Lamp is, three.", bank_voice(folder)))
    first, second = samples[: round(0.3 * RATE)], samples[-round(0.3 * RATE) :]
    for clip in (first, second):
        assert db_from_gain(sounding_rms(clip)) == pytest.approx(SPEECH_DBFS, abs=0.5)
    assert len(samples) / RATE == pytest.approx(0.3 + 0.4 + 0.3 + 0.02, abs=0.03)
    steepest = 2 * np.pi * 300 / RATE * np.abs(samples).max()
    assert np.abs(np.diff(samples)).max() < 1.1 * steepest


def test_a_bank_without_the_word(folder):
    """What the bank lacks is an error that names it."""
    with pytest.raises(SpeechError, match=r"has no clip of `gate` and `open`"):
        Speaker(None).speak(utterance_of("The gate open", bank_voice(folder)))


def test_the_fallback_says_what_the_bank_lacks(folder):
    """With a fallback, texts and figures that lack a clip are said by it, the others are not."""
    speaker = FakeSpeaker()
    profile = bank_voice(folder, fallback="espeak", engine_voice="gmw/en+m3")
    read_text("Heron calling. The gate.", profile, None, speaker)
    read_groups("37 4", profile, figures=None, gap=None, group_gap=None, rate=None, speaker=speaker)
    assert [(each.engine, each.text) for each in speaker.said] == [
        ("bank", "Heron calling."),
        ("espeak", "The gate."),
        ("bank", "3"),
        ("bank", "7"),
        ("espeak", "four"),
    ]


def test_a_changed_clip_is_another_voice(folder):
    """Speech of a bank as it was is not used when a clip has changed."""
    engine_version = Speaker(None)._engines["bank"].version
    before = engine_version(str(folder))
    soundfile.write(folder / "7.flac", tone(hz=500), CLIP_RATE_HZ)
    assert engine_version(str(folder)) != before


CLIPPED = np.clip(tone(gain=3.0), -0.99, 0.99)
GAPPED = np.concatenate([tone(), np.zeros(CLIP_RATE_HZ), tone()])


@pytest.mark.parametrize(
    ("name", "clip", "fault"),
    [
        ("gate", CLIPPED, "it is clipped"),
        ("gate", GAPPED, r"a silence of 1\.5 s in it"),
        ("gate", tone(gain=0.9), "it is 19 dB louder than the usual clip"),
        ("gate", tone(gain=0.011), "it is 19 dB softer than the usual clip"),
        ("gate", tone(gain=0.004), "it is too soft, -51 dB"),
        ("gate", np.zeros(1000), "nothing but silence"),
        ("THE", tone(), "says the same, and is not used"),
    ],
)
def test_what_check_finds(folder, name, clip, fault):
    """A clip that is clipped, too loud or soft, broken by silence, silent or there twice is told,
    and no other clip is."""
    soundfile.write(folder / f"{name}.wav", clip, CLIP_RATE_HZ)
    (found,) = check_bank(folder).faults
    assert name.lower() in found.lower()
    assert re.search(fault, found)


def test_a_clip_that_is_no_sound_file(folder):
    """A damaged clip is a fault of the bank, with its name."""
    (folder / "gate.wav").write_text("no sound")
    (found,) = check_bank(folder).faults
    assert found.startswith("gate.wav: it is damaged")


def test_what_is_missing(folder):
    """Figures and letters that nobody recorded are listed by their words."""
    report = check_bank(folder)
    assert report.missing_figures == (
        "zero",
        "one",
        "two",
        "four",
        "five",
        "six",
        "eight",
        "nine",
        "point",
    )
    assert len(report.missing_letters) == 25
    assert "November" not in report.missing_letters


def test_the_command(folder, capsys):
    """`broadcaster bank` says it as JSON, and ends with 1 where a clip has a fault."""
    assert main(["bank", str(folder), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["missing_figures"][0] == "zero"
    soundfile.write(folder / "gate.wav", CLIPPED, CLIP_RATE_HZ)
    assert main(["bank", str(folder)]) == 1
    assert "gate.wav" not in capsys.readouterr().err


def test_a_folder_that_is_no_bank(tmp_path):
    """Without a sheet there is no bank."""
    with pytest.raises(UsageError, match=r"bank\.yaml"):
        read_bank(tmp_path)


def test_a_bank_that_ships_is_found_by_its_name(tmp_path, monkeypatch):
    """Wherever one is, unless something of that name lies there."""
    monkeypatch.chdir(tmp_path)
    for name in ("clock", "voices/clock"):
        assert read_bank(find_bank(name)).clips
    (tmp_path / "clock").mkdir()
    with pytest.raises(UsageError, match=r"no `bank\.yaml` in `clock`\. Write one"):
        find_bank("clock")


def test_what_is_no_folder_of_clips(tmp_path, monkeypatch):
    """A voice's file, and what is not there, are refused in one sentence."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "foreman.yaml").write_text("about: The foreman.")
    with pytest.raises(UsageError, match=r"is a file; name the folder .* as foreman\.$"):
        find_bank("foreman.yaml")
    with pytest.raises(UsageError, match=r"There is no folder `gone`\."):
        find_bank("gone")


def test_the_bank_that_ships():
    """It has every figure and letter, no fault, and less than a megabyte."""
    report = check_bank(clock_bank.FOLDER)
    assert (report.faults, report.missing_figures, report.missing_letters) == ((), (), ())
    assert sum(path.stat().st_size for path in clock_bank.FOLDER.iterdir()) < 1_000_000


def test_the_bank_that_ships_is_made_by_us():
    """Its clips are those that the tool makes, and it makes them again in the same frames."""
    names = {path.stem for path in clock_bank.FOLDER.glob("*.flac")}
    assert names == {text.lower() for text in clock_bank.texts()}
    speaker = Speaker(None)
    for text in ("seven", "November", "Heron calling"):
        made = clock_bank.recording(text, speaker)
        stored, _ = soundfile.read(clock_bank.FOLDER / f"{text.lower()}.flac", dtype="int16")
        assert np.abs(made.astype(int) - stored).max() <= 1


def test_the_clock_tells_any_time():
    """The shipped bank's profile has a voice that says the time of day without a fallback."""
    clock = shipped_voices()["clock"]
    samples = read_text("twenty-one hours oh five, precisely", clock, None, Speaker(None))
    assert len(samples) > RATE
