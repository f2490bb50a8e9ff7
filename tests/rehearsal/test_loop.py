"""A loop file: one period of an endless broadcast, so that repeating it is that broadcast."""

import wave
from pathlib import Path

import numpy as np
import pytest

from broadcaster.errors import StationError, UsageError
from broadcaster.period.reception import Reception
from broadcaster.rehearsal.loop import STEP, looped, made_round, render_loop, round_of, turns_of
from broadcaster.script.conditions import parse_condition
from broadcaster.script.shelves import shipped_sounds
from broadcaster.transmitter.transmitter import transmitter_of
from broadcaster.units import RATE, silence
from tests.air.make import SHORTWAVE, TableItems, on_air, tone_for
from tests.story import make as story

SOUNDS = {**shipped_sounds(), "a little of everything": SHORTWAVE}
TENTH = RATE // 10
ROUNDING = 3e-4
"""-70 dB: filters of low bands in float32, with a full-scale tone in them (measured: 1.3e-4)."""


def watch():
    """One segment, in which an exit taken at once holds from the beginning."""
    return story.programme(
        {
            "watch": story.segment(
                story.say("one", times="2"),
                story.say("two"),
                story.say("lit", when="lamp"),
                story.say("dark", when="not lamp"),
                exits=({"to": "gate", "when": "not lamp", "at once": "yes"},),
            ),
            "gate": story.segment(story.say("gate", when="lamp"), exits=({"to": "end"},)),
        },
        facts={"lamp": False},
    )


def dry_round(*, frames=5 * RATE + 17):
    """A tone between two pauses; no whole number of steps."""
    dry = silence(frames)
    tone = np.tile(tone_for(story.say("tone"), "tone"), 4)
    dry[2 * RATE : 2 * RATE + len(tone)] = tone * 2.0  # up to 0.8: the limiter has work
    return dry


def rendered(path, programme=None, **options):
    """The programme's `watch` as a loop file; its format, and its frames, shape (frames, 2)."""
    options = {"items": TableItems(), "progress": lambda done, total: None, **options}
    render_loop(on_air(programme or watch(), SHORTWAVE), "watch", path, **options)
    with wave.open(str(path)) as file:
        frames = np.frombuffer(file.readframes(file.getnframes()), "<i2").reshape(-1, 2)
        return (file.getframerate(), file.getnchannels(), file.getsampwidth()), frames


# --- the seam ---------------------------------------------------------------------------------


@pytest.fixture(scope="module", params=SOUNDS)
def loop(request):
    """A loop through each sound."""
    return looped(dry_round(), on_air(watch(), SOUNDS[request.param]), seed=3)


def joins(loop):
    """The loop three times over, and the two frames with which it begins again."""
    return np.tile(loop, 3), (len(loop), 2 * len(loop))


@pytest.mark.parametrize("order", [1, 2])
def test_no_join_is_a_step(loop, order):
    """From frame to frame, and from slope to slope, the joins are as smooth as what is near them.

    Near: a tenth of a second either way, where there is nothing but the bed.
    """
    repeated, places = joins(loop)
    steps = np.abs(np.diff(repeated, order))
    for join in places:
        around = steps[join - TENTH : join + TENTH].copy()
        over = slice(TENTH - order, TENTH)  # those that reach over the join
        at_join = around[over].max()
        around[over] = 0.0
        assert 0.0 < at_join <= around.max()


def test_the_bed_is_level_over_a_join(loop):
    """The bed around a join is neither louder nor softer than it is elsewhere in the pauses, but
    for the 1.5 dB by which one tenth of a second may differ from twenty others by chance.
    """
    repeated, places = joins(loop)
    for join in places:
        pause = repeated[join - RATE : join + RATE].astype(float)
        tenths = np.sqrt(np.square(pause.reshape(-1, TENTH)).mean(axis=1))
        around = np.sqrt(np.square(pause[RATE - TENTH // 2 : RATE + TENTH // 2]).mean())
        assert 0.84 * tenths.min() <= around <= 1.19 * tenths.max()


@pytest.mark.parametrize("frames", [5 * RATE + 17, 7 * RATE, RATE // 2 + 1, 100])
@pytest.mark.parametrize("sound", SOUNDS)
def test_it_is_one_period_of_the_endless_stream(sound, frames):
    """Streamed for ever, each period is the loop again, but for rounding in the filters.

    The stream begins at frame 0 and is cut otherwise, so nothing hangs on where a loop begins.
    """
    dry = dry_round(frames=7 * RATE)[:frames]
    programme = on_air(watch(), SOUNDS[sound])
    loop = looped(dry, programme, seed=3)
    period = np.concatenate([dry, silence(len(loop) - len(dry))])
    reception, transmitter = (
        Reception(SOUNDS[sound], 3, loop=len(period)),
        transmitter_of(programme),
    )
    latency = reception.latency + transmitter.latency
    settled = -(-4 * RATE // len(period))
    stream = np.resize(period, (settled + 2) * len(period) + latency)
    sent = [
        transmitter.process(reception.process(stream[start : start + 10_007], start), start)
        for start in range(0, len(stream), 10_007)
    ]
    for again in np.concatenate(sent)[settled * len(period) + latency :].reshape(2, -1):
        np.testing.assert_allclose(again, loop, rtol=0, atol=ROUNDING)


# --- the round --------------------------------------------------------------------------------


def test_it_is_as_long_as_its_items():
    """Frame for frame, but for the carrier that fills up the last step of 8 ms."""
    for frames in (RATE, RATE + 1, RATE + STEP - 1, RATE + STEP):
        length = len(looped(dry_round()[:frames], on_air(watch()), seed=0))
        assert length % STEP == 0
        assert 0 <= length - frames < STEP


def test_a_round_takes_no_exit():
    """An exit that holds from the beginning empties the segment on air, not in its loop."""
    assert [cue.text for cue in round_of(watch(), "watch")] == ["one", "one", "two", "dark"]


def test_an_unknown_segment_is_refused():
    """Wrong usage, with the nearest name."""
    with pytest.raises(UsageError, match=r"There is no segment 'wach'.*watch"):
        round_of(watch(), "wach")


def test_a_segment_that_sends_nothing_is_refused():
    """A loop of nothing but the bed was hardly meant."""
    with pytest.raises(UsageError, match="'gate' sends nothing as a session begins"):
        round_of(watch(), "gate")


# --- the file ---------------------------------------------------------------------------------


def test_the_file_is_the_loop(tmp_path: Path):
    """48 kHz, 16 bits, twice the same mono signal, every item in it, a word said for each."""
    told = []
    form, frames = rendered(tmp_path / "loop.wav", progress=lambda *made: told.append(made))
    assert form == (RATE, 2, 2)
    items = [tone_for(cue.item, cue.text) for cue in round_of(watch(), "watch")]
    loop = looped(np.concatenate(items), on_air(watch(), SHORTWAVE), seed=0)
    np.testing.assert_array_equal(frames[:, 0], np.rint(loop * 32767))
    np.testing.assert_array_equal(frames[:, 0], frames[:, 1])
    assert told == [(1, 4), (2, 4), (3, 4), (4, 4)]


def test_a_loop_is_received_as_on_air(tmp_path: Path):
    """Each item with its roughness, from its first frame on, and the segment's signal."""
    solved = {"one": (0.4, 4.0), "two": (1.3, 2.0), "dark": (0.4, 4.0)}
    programme = watch().model_copy(
        update={"segments": {"watch": watch().segments["watch"].model_copy(
            update={"readability": 4.0, "signal": parse_condition("3")}
        )}}
    )  # fmt: skip
    items = TableItems(solved=solved)
    cues = round_of(programme, "watch")
    made = made_round(cues, items, lambda done, total: None)
    ends = np.cumsum([len(each.samples) for each in made])
    assert turns_of(cues, made) == ((0, 0.4), (ends[1], 1.3), (ends[2], 0.4))
    _, frames = rendered(tmp_path / "loop.wav", programme, items=items)
    dry = np.concatenate([each.samples for each in made])
    script = on_air(programme, SHORTWAVE)
    expected = looped(dry, script, 0, turns_of(cues, made), strength=3.0)
    np.testing.assert_array_equal(frames[:, 0], np.rint(expected * 32767))
    assert np.abs(expected - looped(dry, script, 0)).max() > 0.01


def test_the_seed_is_the_only_chance(tmp_path: Path):
    """The same seed is the same file, another one is another."""
    one, same, other = (
        rendered(tmp_path / f"{name}.wav", seed=seed)[1]
        for name, seed in (("one", 5), ("same", 5), ("other", 6))
    )
    np.testing.assert_array_equal(one, same)
    assert (one != other).any()


def test_an_item_that_cannot_be_made_leaves_no_file(tmp_path: Path):
    """The error names the item; what stood there before still stands."""
    standing = tmp_path / "loop.wav"
    standing.write_bytes(b"the last good one")
    with pytest.raises(StationError, match="The say 'two' cannot be spoken"):
        rendered(standing, items=TableItems(failing=["two"]))
    assert standing.read_bytes() == b"the last good one"
    assert list(tmp_path.iterdir()) == [standing]


def test_a_file_that_cannot_be_written_leaves_none(tmp_path: Path, monkeypatch):
    """A disk that fills up in the middle is an error, and nothing half written stays."""

    def full(*_arguments, **_options):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("pydub.AudioSegment.export", full)
    with pytest.raises(StationError, match="No space left on device"):
        rendered(tmp_path / "loop.wav")
    with pytest.raises(StationError, match="it is a folder"):
        rendered(tmp_path)
    assert list(tmp_path.iterdir()) == []
