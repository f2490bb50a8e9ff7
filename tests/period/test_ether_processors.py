"""What the processors of the way through the ether have in common."""

import numpy as np
import pytest

from broadcaster.period.chance import Chance
from broadcaster.period.conditions import Conditions
from broadcaster.period.ether_processors import ether_processor
from broadcaster.units import Samples
from tests.period.examples import EXAMPLES
from tests.period.streams import in_blocks

RATE = 16_000


def bed(kind: str, roughness: float) -> Samples:
    """What is heard of a processor while nobody speaks."""
    conditions = Conditions(roughness)
    processor = ether_processor(EXAMPLES[kind], Chance(1, kind), RATE, conditions)
    return in_blocks(processor, np.zeros(2 * RATE, np.float32))


@pytest.mark.parametrize("kind", ["static", "whistle", "murmur"])
def test_a_bed_follows_the_roughness(kind: str) -> None:
    """Half the roughness is the same bed, 20 dB softer."""
    np.testing.assert_allclose(bed(kind, 0.5), 0.1 * bed(kind, 1.0), rtol=1e-5, atol=1e-12)


@pytest.mark.parametrize("kind", ["paths", "mistuning"])
def test_a_way_adds_nothing(kind: str) -> None:
    """Where nothing is sent, fading and mistuning leave nothing to be heard."""
    assert not bed(kind, 1.0).any()
