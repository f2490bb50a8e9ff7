"""A script goes out to a file: exact length, a complete log, the same bits every time."""

import wave
from itertools import pairwise
from pathlib import Path

import pytest

from broadcaster.air.station import BLOCK_FRAMES
from broadcaster.units import RATE
from tests.end_to_end.run import DEMO, Home, Outcome

SECONDS = 60


class Aired:
    """One run of the demo to a file."""

    def __init__(self, home: Home, wav: Path, outcome: Outcome) -> None:
        self.home = home
        self.outcome = outcome
        self.items = outcome.of("item aired")
        with wave.open(str(wav)) as file:
            self.format = (file.getframerate(), file.getnchannels(), file.getsampwidth())
            self.frames = file.getnframes()
            self.pcm = file.readframes(self.frames)


@pytest.fixture(scope="module")
def two_runs(tmp_path_factory: pytest.TempPathFactory) -> list[Aired]:
    """The same command twice, each with an empty cache of its own, side by side."""
    started = []
    for name in ("one", "two"):
        home = Home(tmp_path_factory.mktemp(name))
        wav = home.folder / "OUT.wav"
        process = home.start(
            *("air", DEMO, "--output", f"file:{wav}", "--start", "--for", f"{SECONDS}s"),
            *("--no-console", "--json", "--seed", 7),
        )
        started.append((home, wav, process))
    runs = []
    for home, wav, process in started:
        output, errors = process.communicate(timeout=SECONDS + 60)
        runs.append(Aired(home, wav, Outcome(process.returncode, output, errors)))
    return runs


def test_it_ends_well_and_in_time(two_runs: list[Aired]) -> None:
    """Exit code 0, nothing on standard error, the asked length within a block, 48 kHz stereo."""
    for run in two_runs:
        assert (run.outcome.code, run.outcome.errors) == (0, "")
        assert run.format == (RATE, 2, 2)
        assert abs(run.frames - SECONDS * RATE) <= BLOCK_FRAMES


def test_every_frame_lies_in_one_item(two_runs: list[Aired]) -> None:
    """Each item's start is the end of the one before it; the last ends with the file."""
    for run in two_runs:
        assert run.items[0]["start_frame"] == 0
        assert run.items[-1]["end_frame"] == run.frames
        for before, after in pairwise(run.items):
            assert after["start_frame"] == before["end_frame"]


def test_an_item_tells_what_it_was(two_runs: list[Aired]) -> None:
    """Segment, kind and text are in each item's event; the opening is what the script says."""
    for item in two_runs[0].items:
        assert item["segment"]
        assert item["item"] in {
            *("say", "groups", "spell", "morse", "interval signal", "tone", "pips", "clip"),
            *("pause", "carrier"),
        }
        assert isinstance(item["text"], str)
    assert not two_runs[0].outcome.of("trouble")


def test_two_runs_are_the_same_bits(two_runs: list[Aired]) -> None:
    """A lost cache changes nothing: identical audio, identical item events."""
    one, other = two_runs
    assert one.pcm == other.pcm
    assert one.items == other.items


def test_a_rehearsal_is_the_same_bits(two_runs: list[Aired], tmp_path: Path) -> None:
    """What is rehearsed in seconds is, sample for sample, what goes out in a minute."""
    wav = tmp_path / "rehearsed.wav"
    outcome = Home(tmp_path).run(
        "rehearse", DEMO, "--for", f"{SECONDS}s", "--seed", 7, "--audio", wav
    )
    assert outcome.code == 0, outcome.errors
    with wave.open(str(wav)) as file:
        assert file.readframes(file.getnframes()) == two_runs[0].pcm


def test_the_sound_is_there(two_runs: list[Aired]) -> None:
    """Both channels carry the same signal, it is loud enough, and no stretch of it is silent."""
    import numpy as np

    frames = np.frombuffer(two_runs[0].pcm, "<i2").reshape(-1, 2)
    np.testing.assert_array_equal(frames[:, 0], frames[:, 1])
    tenths = frames[: len(frames) // 4800 * 4800, 0].reshape(-1, 4800).astype(float)
    assert np.abs(tenths).max(axis=1).min() > 0, "a tenth of a second of digital silence"
    assert 20 * np.log10(np.sqrt(np.mean(tenths**2)) / 32768) > -32


def test_the_log_holds_the_same_entries(two_runs: list[Aired]) -> None:
    """The as-run log in the user's own folder has what was printed, line by line."""
    (log,) = (two_runs[0].home.folder / "xdg_state_home" / "broadcaster").glob("*.jsonl")
    assert log.read_text().splitlines() == two_runs[0].outcome.output.splitlines()
