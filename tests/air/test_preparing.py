"""Items made ahead by the worker process: ready in time, honest when they fail."""

import os
import shutil
import signal
import time
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from broadcaster.air.items import Failure, Made, Shelf
from broadcaster.air.preparing import Preparing, Worker
from broadcaster.air.solving import Solving
from broadcaster.script.profiles import VoiceProfile
from broadcaster.script.programme import Clip, Item, Morse, Programme
from broadcaster.story.cue import Cue, announced, prepared_plainly
from broadcaster.story.events import Part
from broadcaster.units import frames_from_seconds
from tests.air.make import on_air, watch_and_gate
from tests.story.make import say


def waited_for(items: Preparing, wanted: Cue) -> Made | None:
    deadline = time.monotonic() + 10
    while (made := items.fetch(wanted)) is None and time.monotonic() < deadline:
        time.sleep(0.005)
    return made


def cue(item: Item, text: str) -> Cue:
    return Cue("watch", item, text)


def cast(programme: Programme) -> Programme:
    return programme.model_copy(update={"cast": {"keeper": VoiceProfile(about="a test's voice")}})


@pytest.fixture
def items() -> Iterator[Preparing]:
    with Preparing(cast(on_air(watch_and_gate())), None, print) as preparing:
        yield preparing


def test_a_patient_fetch_waits_until_the_item_is_made(items: Preparing) -> None:
    """Speech comes back as samples at our rate."""
    made = items.fetch(cue(say("x"), "Heron calling."))
    assert isinstance(made, Made)
    assert made.samples.dtype == np.float32
    assert 0.5 < len(made.samples) / 48_000 < 4


def test_an_impatient_fetch_answers_at_once_and_the_item_comes(items: Preparing) -> None:
    """None at first; ready a moment later, without another word."""
    items.patient = False
    wanted = cue(Morse(morse="K"), "K")
    assert items.fetch(wanted) is None
    deadline = time.monotonic() + 10
    while items.fetch(wanted) is None and time.monotonic() < deadline:
        time.sleep(0.005)
    assert isinstance(items.fetch(wanted), Made)


def test_what_is_expected_is_made_ahead(items: Preparing) -> None:
    """expect() is enough: nobody has to fetch."""
    items.patient = False
    wanted = [cue(Morse(morse=letter), letter) for letter in "KRN"]
    items.expect(wanted)
    deadline = time.monotonic() + 10
    while any(items.fetch(each) is None for each in wanted) and time.monotonic() < deadline:
        time.sleep(0.005)
    assert all(isinstance(items.fetch(each), Made) for each in wanted)


def test_what_is_not_worked_out_in_time_goes_out_without(monkeypatch: pytest.MonkeyPatch) -> None:
    """An impatient fetch gets the item as it is; for a clue that is told, once."""

    def never(*_arguments: object) -> Made:
        time.sleep(60)
        raise AssertionError

    monkeypatch.setattr(Solving, "made", never)
    told: list[str] = []
    with Preparing(cast(on_air(watch_and_gate())), None, told.append) as items:
        items.patient = False
        key = Cue("watch", Morse(morse="K", clue="k"), "K", readability=4.0)
        items.expect([key])
        deadline = time.monotonic() + 10
        while (made := items.fetch(key)) is None and time.monotonic() < deadline:
            time.sleep(0.005)
        items.fetch(key)
    assert isinstance(made, Made)
    assert made.roughness is None
    assert [sentence[:25] for sentence in told] == ["The clue 'k' goes out bef"]


def test_what_cannot_be_worked_out_goes_out_without(monkeypatch: pytest.MonkeyPatch) -> None:
    """A worker that dies over it does not take the item along, however patient one is."""
    monkeypatch.setattr(Solving, "made", lambda *_arguments: os._exit(1))
    monkeypatch.setattr(
        Preparing,
        "new_worker",
        lambda self, *, first: Worker(self._programme, self._cache_folder, first=True),
    )
    with Preparing(cast(on_air(watch_and_gate())), None, print) as items:
        made = items.fetch(Cue("watch", Morse(morse="K"), "K", readability=4.0))
    assert isinstance(made, Made)
    assert made.roughness is None


@pytest.mark.parametrize(
    ("item", "text", "reason"),
    [
        (say("x"), "...", "cannot be made"),
        (Clip(clip="not there.wav"), "not there.wav", "could not read the clip"),
    ],
)
def test_what_cannot_be_made_says_why(items: Preparing, item: Item, text: str, reason: str) -> None:
    """Text with nothing to speak, a clip that is not there: a Failure with a sentence."""
    made = items.fetch(cue(item, text))
    assert isinstance(made, Failure)
    assert reason in made.sentence


def test_a_dead_worker_is_replaced(items: Preparing) -> None:
    """The next item is made by a new worker, as if nothing had happened."""
    items._hands[0].worker._process.kill()
    made = items.fetch(cue(Morse(morse="K"), "K"))
    assert isinstance(made, Made)


def say_plainly(text: str) -> Cue:
    return Cue("", announced(text), text, part=Part.PLAIN_VOICE)


def test_what_the_operator_says_waits_behind_nothing(items: Preparing) -> None:
    """The worker that makes what may come is stopped in the midst of it: the other speaks."""
    items.patient = False
    os.kill(items._hands[0].worker._process.pid or 0, signal.SIGSTOP)
    items.expect([cue(Morse(morse="K"), "K"), say_plainly("Stand still.")])
    assert isinstance(waited_for(items, say_plainly("Stand still.")), Made)
    assert items.fetch(cue(Morse(morse="K"), "K")) is None


def test_the_prepared_text_is_there_when_the_workers_are_not(items: Preparing) -> None:
    """It was made first, unasked, and stays: both workers are stopped for good."""
    items.patient = False
    prepared = prepared_plainly(items._programme)
    assert isinstance(waited_for(items, prepared), Made)
    for hand in items._hands:
        os.kill(hand.worker._process.pid or 0, signal.SIGSTOP)
    items.expect([say_plainly("Stand still.")])
    assert isinstance(items.fetch(prepared), Made)


def test_the_words_of_an_item_come_with_it(items: Preparing) -> None:
    """At rising frames within the item; none for an item that says nothing."""
    wanted, keyed = cue(say("x"), "Heron calling. All keepers."), cue(Morse(morse="K"), "K")
    made = items.fetch(wanted)
    items.fetch(keyed)
    words = items.timing(wanted).words
    assert isinstance(made, Made)
    assert {"calling", "keepers"} <= {word for _, word in words}
    assert all(0 <= at < other < len(made.samples) for (at, _), (other, _) in pairwise(words))
    assert items.timing(keyed).words == ()


def test_the_marks_of_morse_come_with_it(items: Preparing) -> None:
    """As they are keyed, within the item; speech has none."""
    wanted, spoken = cue(Morse(morse="K"), "K"), cue(say("x"), "Heron.")
    made = items.fetch(wanted)
    items.fetch(spoken)
    dot = frames_from_seconds(1.2 / 12)  # Rec. ITU-R M.1677-1, 2; PARIS at 12 words a minute
    assert items.timing(wanted).marks == ((0, 3 * dot), (4 * dot, 5 * dot), (6 * dot, 9 * dot))
    assert isinstance(made, Made)
    assert items.timing(spoken).marks == ()


def test_what_failed_is_tried_again(items: Preparing, tmp_path: Path) -> None:
    """A failure stands for one turn only: the clip that is there next time is played."""
    wanted = cue(Clip(clip="late.wav"), "late.wav")
    items._programme = items._programme.model_copy(update={"folder": tmp_path})
    items._hands[0].worker.stop()
    assert isinstance(items.fetch(wanted), Failure)
    shutil.copy(Path(__file__).parent / "tone.wav", tmp_path / "late.wav")
    assert isinstance(items.fetch(wanted), Made)


def test_a_cache_that_cannot_be_written_is_told_once(tmp_path: Path) -> None:
    """The announcement goes out all the same."""
    (tmp_path / "file").write_text("not a folder")
    told: list[str] = []
    programme = cast(on_air(watch_and_gate()))
    with Preparing(programme, tmp_path / "file" / "speech", told.append) as items:
        for text in ("one", "two"):
            assert isinstance(items.fetch(cue(say("x"), text)), Made)
    assert len(told) == 1
    assert "cannot be kept" in told[0]


def test_the_shelf_drops_what_was_longest_unused() -> None:
    """Beyond its limit the shelf forgets, the longest unused first, never the last."""
    shelf = Shelf(100)
    contents = [cue(Morse(morse=letter), letter).content for letter in "ABC"]
    made = Made(np.zeros(40, dtype=np.float32))
    for content in contents[:2]:
        shelf.put(content, made)
    shelf.get(contents[0])
    shelf.put(contents[2], made)
    assert [content in shelf for content in contents] == [True, False, True]


def test_what_is_made_twice_takes_its_place_once() -> None:
    """Both workers may have made it."""
    shelf = Shelf(100)
    contents = [cue(Morse(morse=letter), letter).content for letter in "AB"]
    made = Made(np.zeros(40, dtype=np.float32))
    for content in (contents[0], contents[1], contents[1], contents[1]):
        shelf.put(content, made)
    assert [content in shelf for content in contents] == [True, True]
