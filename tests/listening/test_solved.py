"""Solutions that were found before."""

import dataclasses

import numpy as np
import pytest

from broadcaster.listening import solved
from broadcaster.listening.copied import Copied
from broadcaster.listening.hearing import Way
from broadcaster.listening.solved import SolvedCache, key_of
from broadcaster.listening.solver import Solution
from broadcaster.script.sounds import Hiss, Sound

WAY = Way(Sound(about="hiss", processors=(Hiss(hiss=-40.0),)), 1, 0.5)
ITEM = np.linspace(-0.5, 0.5, 1_000, dtype=np.float32)


@pytest.fixture
def found(monkeypatch):
    """Counts how often a solution is looked for."""
    asked = []

    def roughness_for(wanted, item, way, copied):
        asked.append(wanted)
        return Solution(1.25, wanted)

    monkeypatch.setattr(solved, "roughness_for", roughness_for)
    return asked


def test_a_solution_is_found_once(tmp_path, found):
    """Also by another cache over the same folder."""
    for _ in range(2):
        cache = SolvedCache(tmp_path / "new")
        for _ in range(2):
            solution = cache.roughness_for(4.0, ITEM, WAY, Copied.SPEECH)
            assert solution == Solution(1.25, 4.0)
    assert found == [4.0]


def test_without_a_folder_nothing_is_kept(found):
    """Each time anew."""
    cache = SolvedCache(None)
    for _ in range(2):
        cache.roughness_for(4.0, ITEM, WAY, Copied.SPEECH)
    assert found == [4.0, 4.0]


@pytest.mark.parametrize("content", [b"", b"[]", b'{"roughness": 1.0}', b'{"roughness": "1"}'])
def test_a_damaged_file_counts_as_absent(tmp_path, found, content):
    """And is written anew."""
    cache = SolvedCache(tmp_path)
    cache.roughness_for(4.0, ITEM, WAY, Copied.SPEECH)
    (file,) = tmp_path.iterdir()
    file.write_bytes(content)
    for _ in range(2):
        assert cache.roughness_for(4.0, ITEM, WAY, Copied.SPEECH) == Solution(1.25, 4.0)
    assert found == [4.0, 4.0]


def test_a_folder_that_cannot_be_written(tmp_path, found):
    """It is told once, in a sentence; solutions are found all the same."""
    (tmp_path / "file").write_text("in the way")
    cache = SolvedCache(tmp_path / "file" / "folder")
    assert cache.roughness_for(4.0, ITEM, WAY, Copied.SPEECH).roughness == 1.25
    assert cache.trouble is not None
    assert "cannot be kept" in cache.trouble


def test_what_a_solution_depends_on():
    """Grade, samples, sound, seed, make-up and kind: each changes the key, nothing else does."""
    base = (4.0, ITEM, WAY, Copied.SPEECH)
    other_sound = Sound(about="hiss", processors=(Hiss(hiss=-41.0),))
    others = [
        (4.1, ITEM, WAY, Copied.SPEECH),
        (4.0, ITEM * np.float32(1.001), WAY, Copied.SPEECH),
        (4.0, ITEM, dataclasses.replace(WAY, sound=other_sound), Copied.SPEECH),
        (4.0, ITEM, dataclasses.replace(WAY, seed=2), Copied.SPEECH),
        (4.0, ITEM, dataclasses.replace(WAY, make_up_db=0.0), Copied.SPEECH),
        (4.0, ITEM, WAY, Copied.TONES),
    ]
    assert len({key_of(*each) for each in (base, *others)}) == 7
    assert key_of(*base) == key_of(4.0, ITEM.copy(), WAY, Copied.SPEECH)
