"""Clips: every kind and rate of sound file, trimmed, as one channel, and every way to be wrong."""

import io
import random
import subprocess
import sys
import wave

import numpy as np
import pytest
import soundfile

from broadcaster.errors import ClipError
from broadcaster.script.programme import Clip, Programme
from broadcaster.sound.clip import EDGE_S, clip
from broadcaster.sound.clip_file import clip_faults, read_clip
from broadcaster.units import RATE
from broadcaster.voice.finish import SPEECH_DBFS, sounding_rms
from broadcaster.voice.sound_file import LONGEST_S

SECONDS = 2.0
TONE_HZ = 1000.0


def tone(rate_hz, seconds=SECONDS):
    """The tone that the files of these tests hold, peak 0.5."""
    return 0.5 * np.sin(2 * np.pi * TONE_HZ / rate_hz * np.arange(round(seconds * rate_hz)))


def line_hz(samples):
    """The strongest line of a spectrum with 0.5 Hz steps."""
    middle = samples[RATE // 2 :][: RATE // 2].astype(float) * np.hanning(RATE // 2)
    return np.argmax(np.abs(np.fft.rfft(middle, 2 * RATE))) * 0.5


@pytest.mark.parametrize("rate_hz", [8000, 22_050, 44_100, 48_000])
@pytest.mark.parametrize("kind", ["wav", "flac", "mp3", "ogg"])
def test_every_kind_and_rate_comes_out_alike(tmp_path, kind, rate_hz):
    """A tone of 1 kHz stays one, for as long as it was, as loud as speech, float32."""
    path = tmp_path / f"tone.{kind}"
    soundfile.write(path, tone(rate_hz), rate_hz)
    samples = clip(path)
    assert samples.dtype == np.float32
    assert len(samples) == pytest.approx(SECONDS * RATE, abs=1)
    assert line_hz(samples) == pytest.approx(TONE_HZ, abs=0.5)
    assert 20 * np.log10(sounding_rms(samples)) == pytest.approx(SPEECH_DBFS, abs=0.2)


@pytest.mark.parametrize("subtype", ["PCM_U8", "PCM_16", "PCM_24", "PCM_32", "FLOAT", "DOUBLE"])
def test_every_depth_of_a_wav_file_is_read(tmp_path, subtype):
    """8 to 64 bits, whole or floating: the samples are those written, to the depth's step."""
    path = tmp_path / "tone.wav"
    soundfile.write(path, tone(RATE), RATE, subtype=subtype)
    frames = np.frombuffer(read_clip(path).raw_data, dtype=np.int32) / 2.0**31
    step = 2**-7 if subtype == "PCM_U8" else 2**-15
    assert np.allclose(frames, tone(RATE), rtol=0, atol=step)


def test_two_channels_are_averaged(tmp_path):
    """Left and right with a half each."""
    path = tmp_path / "stereo.wav"
    left, right = np.full(1000, 0.5), np.full(1000, -0.25)
    soundfile.write(path, np.stack((left, right), axis=1), RATE, subtype="PCM_24")
    frames = np.frombuffer(read_clip(path).raw_data, dtype=np.int32) / 2.0**31
    assert np.allclose(frames, np.full(1000, 0.125), rtol=0, atol=1e-6)


@pytest.mark.parametrize(
    ("from_s", "to_s", "first", "frames"),
    [
        (0.0, None, 0, 96_000),
        (0.5, None, 24_000, 72_000),
        (0.25, 1.0, 12_000, 36_000),
        (1.5, 9.0, 72_000, 24_000),
        (0.0005, 0.001, 24, 24),
    ],
)
def test_a_clip_is_trimmed_to_the_frame(tmp_path, from_s, to_s, first, frames):
    """The frames from one time to another; a `to` behind the end means the end."""
    path = tmp_path / "ramp.wav"
    ramp = np.arange(96_000, dtype=np.int32) * 8192
    soundfile.write(path, ramp, RATE, subtype="PCM_32")
    found = np.frombuffer(read_clip(path, from_s, to_s).raw_data, dtype=np.int32)
    assert len(found) == frames
    assert np.abs(found - ramp[first : first + frames]).max() <= 64  # float32 has 24 bits
    assert len(clip(path, from_s, to_s)) == frames


def test_a_cut_is_no_click(tmp_path):
    """A clip cut in the middle of a tone rises and falls over its soft edges."""
    path = tmp_path / "tone.wav"
    soundfile.write(path, tone(RATE), RATE)
    samples = clip(path, 0.50025, 1.00025)  # on the crests
    inside = np.abs(np.diff(samples[2000:-2000])).max()
    edge = round(EDGE_S * RATE)
    assert np.abs(np.diff(samples, prepend=0, append=0)).max() <= inside * 1.1
    assert np.abs(samples[edge : 2 * edge]).max() > 0.13


def test_resampling_leaves_no_images(tmp_path):
    """A 3 kHz tone at 8 kHz has nothing above 4.5 kHz at 48 kHz: under -55 dB."""
    path = tmp_path / "tone.wav"
    soundfile.write(path, 0.5 * np.sin(2 * np.pi * 3000 / 8000 * np.arange(16_000)), 8000)
    samples = clip(path)[RATE // 4 : -RATE // 4].astype(float)
    spectrum = np.abs(np.fft.rfft(samples * np.blackman(len(samples))))
    hertz = np.fft.rfftfreq(len(samples), 1 / RATE)
    assert spectrum[hertz > 4500].max() < spectrum.max() * 10 ** (-55 / 20)


def test_silence_is_a_clip_too(tmp_path):
    """A silent file is silence of its length, not a division by nothing."""
    path = tmp_path / "silence.wav"
    soundfile.write(path, np.zeros(4800), RATE)
    assert not clip(path).any()
    assert len(clip(path)) == 4800


# --- what cannot be read ------------------------------------------------------------------------


def written(path, make):
    """Write a broken file and give its path back."""
    make(path)
    return path


def encoded(kind, seconds=SECONDS, rate_hz=22_050, channels=1, **options):
    """A sound file's bytes."""
    file = io.BytesIO()
    sound = np.repeat(tone(rate_hz, seconds)[:, None], channels, axis=1)
    soundfile.write(file, sound, rate_hz, format=kind, **options)
    return file.getvalue()


def without_frames(path):
    """A proper file with nothing in it."""
    with wave.open(str(path), "wb") as file:
        file.setparams((1, 2, RATE, 0, "NONE", ""))


BROKEN = {
    "missing.wav": (lambda path: None, "no such file"),
    "folder.wav": (lambda path: path.mkdir(), "no such file"),
    "tune.mid": (lambda path: path.write_bytes(b"MThd"), "one of .wav, .flac, .mp3, .ogg"),
    "empty.wav": (lambda path: path.write_bytes(b""), "empty"),
    "empty.mp3": (lambda path: path.write_bytes(b""), "empty"),
    "text.ogg": (lambda path: path.write_text("Heron calling." * 99), "damaged, or no"),
    "text.mp3": (lambda path: path.write_text("Heron calling." * 99), "damaged, or no"),
    "head.wav": (lambda path: path.write_bytes(encoded("WAV")[:20]), "damaged, or no"),
    "half.flac": (lambda path: path.write_bytes(encoded("FLAC")[:9000]), "damaged, or no"),
    "silent.wav": (without_frames, "no sound in it"),
    "six.wav": (lambda path: path.write_bytes(encoded("WAV", channels=6)), "6 channels"),
    "slow.wav": (lambda path: path.write_bytes(encoded("WAV", rate_hz=1000)), "1000 Hz"),
    "long.flac": (
        lambda path: path.write_bytes(encoded("FLAC", LONGEST_S + 60, rate_hz=4000)),
        "16 min; up to 15 min",
    ),
    "nan.wav": (
        lambda path: soundfile.write(path, np.full(99, np.nan), RATE, subtype="FLOAT"),
        "no sound",
    ),
}


@pytest.mark.parametrize("name", BROKEN)
def test_an_unreadable_clip_is_one_sentence(tmp_path, name):
    """The error names the file and the reason, on one line."""
    make, reason = BROKEN[name]
    path = written(tmp_path / name, make)
    with pytest.raises(ClipError) as caught:
        clip(path)
    assert caught.value.path == path
    assert reason in caught.value.reason
    assert len(str(caught.value).splitlines()) == 1


@pytest.mark.parametrize(("from_s", "to_s"), [(2.0, None), (5.0, 6.0), (1.0, 1.0), (1.5, 0.5)])
def test_nothing_between_two_times_is_an_error(tmp_path, from_s, to_s):
    """A clip that would be empty says from where to where, and how long the file is."""
    path = tmp_path / "tone.wav"
    soundfile.write(path, tone(RATE), RATE)
    with pytest.raises(ClipError, match=f"nothing from {from_s:g} s to .*lasts 2 s"):
        clip(path, from_s, to_s)


@pytest.mark.parametrize("kind", ["WAV", "FLAC", "MP3", "OGG"])
def test_damaged_files_are_read_or_refused(tmp_path, kind):
    """60 files damaged at random: each gives samples or a ClipError, never anything else."""
    chance = random.Random(kind)
    sound = encoded(kind, 0.5)
    path = tmp_path / f"damaged.{kind.lower()}"
    for _ in range(60):
        damaged = bytearray(sound[: chance.choice([len(sound), chance.randrange(len(sound))])])
        for _ in range(chance.randrange(20)):
            damaged[chance.randrange(len(damaged))] = chance.randrange(256)
        path.write_bytes(damaged)
        try:
            samples = clip(path)
        except ClipError:
            continue
        assert len(samples) > 0
        assert np.isfinite(samples).all()


def test_a_damaged_mp3_is_read_without_a_word(tmp_path, capfd):
    """The decoder's own notes on damaged frames do not reach standard error."""
    sound = bytearray(encoded("MP3"))
    sound[1000:1500] = bytes(500)
    path = tmp_path / "damaged.mp3"
    path.write_bytes(sound)
    clip(path)
    sys.stderr.write("still here\n")
    assert capfd.readouterr().err == "still here\n"


def test_reading_needs_neither_warnings_nor_the_slow_library():
    """What checks clips is imported without scipy.signal and without a warning."""
    code = "import sys, broadcaster.sound.clip_file as c; sys.exit('scipy.signal' in sys.modules)"
    run = subprocess.run(
        [sys.executable, "-W", "error", "-c", code], capture_output=True, text=True, check=False
    )
    assert (run.returncode, run.stderr) == (0, "")


# --- a programme's clips ------------------------------------------------------------------------


def programme(tmp_path, **segments):
    """A programme of clips."""
    return Programme.model_validate(
        {
            "programme": "Low Water",
            "station": {"callsign": "Heron", "frequency": 91.3e6, "voice": "keeper"},
            "opening": "watch",
            "segments": {name: {"play": tuple(play)} for name, play in segments.items()},
            "folder": tmp_path,
        }
    )


def test_a_programmes_clips_are_tried_in_its_order(tmp_path):
    """Each clip that cannot be played: what leads to it, and the error."""
    soundfile.write(tmp_path / "bell.wav", tone(RATE), RATE)
    (tmp_path / "empty.ogg").touch()
    bell, empty = Clip(clip="bell.wav"), Clip(clip="empty.ogg")
    late = Clip(clip="bell.wav", from_=3.0)
    faults = clip_faults(programme(tmp_path, watch=[bell, empty], gate=[late, bell, empty]))
    assert [fault.steps for fault in faults] == [
        ("segments", "watch", "play", 1),
        ("segments", "gate", "play", 0),
        ("segments", "gate", "play", 2),
    ]
    assert [fault.error.path.name for fault in faults] == ["empty.ogg", "bell.wav", "empty.ogg"]


def test_a_programme_with_sound_clips_has_no_faults(tmp_path):
    """Clips that can be played are no faults."""
    soundfile.write(tmp_path / "bell.wav", tone(RATE), RATE)
    assert clip_faults(programme(tmp_path, watch=[Clip(clip="bell.wav", to=1.0)])) == []
