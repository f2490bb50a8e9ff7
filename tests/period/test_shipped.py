"""The period sounds that ship."""

from pathlib import Path

import numpy as np
import pytest

import broadcaster
from broadcaster.period.reception import Reception
from broadcaster.script.shelves import shipped_sounds
from broadcaster.transmitter.transmitter import Transmitter
from broadcaster.units import RATE, gain_from_db
from tests.period.examples import EXAMPLES
from tests.period.streams import db, in_blocks, noise, rms

SOUNDS = shipped_sounds()
TABLE = Path(broadcaster.__file__).parent / "period" / "sounds.yaml"


def test_what_ships() -> None:
    """Eleven sounds, from a clean station to a machine at the end of a wire."""
    assert list(SOUNDS) == [
        "clean",
        "medium wave 1935",
        "medium wave 1950",
        "shortwave 1960",
        "single sideband 1965",
        "coastal 1958",
        "field telephone 1943",
        "valve intercom 1955",
        "portable VHF 1970",
        "worn tape 1962",
        "wire machine 1968",
    ]


def test_every_kind_of_processor_is_at_work() -> None:
    """No kind of row is there that none of the sounds has."""
    used = {row.kind for sound in SOUNDS.values() for row in sound.processors}
    assert used == set(EXAMPLES)


def test_every_number_has_its_source() -> None:
    """Each line of the table that holds a number says where it is from."""
    lines = TABLE.read_text(encoding="utf-8").splitlines()
    rows = [line for line in lines if line.startswith("    ")]
    assert len(rows) > 100
    assert [line for line in rows if " # " not in line] == []


@pytest.mark.parametrize("name", SOUNDS)
def test_speech_stands_over_its_bed(name: str) -> None:
    """Twenty seconds like speech are 12 to 60 dB over the bed that is heard without it."""
    speech = noise(20 * RATE, gain_from_db(-20.0))
    heard = in_blocks(Transmitter(), in_blocks(Reception(SOUNDS[name], 1), speech))
    bed = in_blocks(Transmitter(), in_blocks(Reception(SOUNDS[name], 1), np.zeros_like(speech)))
    assert 12.0 < db(rms(heard) / rms(bed)) < 60.0


@pytest.mark.parametrize("name", SOUNDS)
def test_the_carrier_is_never_silent(name: str) -> None:
    """Every tenth of a second of the bed is over -75 dB: a listener hears that we are on air."""
    bed = in_blocks(Reception(SOUNDS[name], 1), np.zeros(15 * RATE, np.float32))
    weakest = np.square(bed.reshape(-1, RATE // 10)).mean(axis=1).min() ** 0.5
    assert db(weakest) > -75.0
