"""How rows for the way through the ether are written, and what is said of those that cannot be."""

import pytest

from broadcaster.errors import UnreadableError
from broadcaster.script.sounds_ether import TwoPaths, offset_hertz, two_paths


@pytest.mark.parametrize(
    ("written", "paths"),
    [
        ("mid-latitude moderate", TwoPaths(0.001, 0.5)),
        (" poor ", TwoPaths(0.002, 1.0)),
        ("1.5 ms and 0.4 Hz", TwoPaths(0.0015, 0.4)),
        ("0 ms and 20 Hz", TwoPaths(0.0, 20.0)),
    ],
)
def test_paths_have_a_name_or_a_delay_and_a_spread(written: str, paths: TwoPaths) -> None:
    """Published conditions go by their names; others say how far the ways differ."""
    assert two_paths(written) == paths
    assert two_paths(paths) == paths


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("mid-latitude moderat", "Did you mean `mid-latitude moderate`?"),
        ("1 ms", "Write their own as `1 ms and 0.5 Hz`."),
        ("30 ms and 1 Hz", "Keep the delay up to 20 ms and the spread within 0.01 Hz to 50 Hz."),
        ("1 ms and 100 Hz", "Keep the delay up to 20 ms and the spread within 0.01 Hz to 50 Hz."),
        ("1 ms and fast", "`fast` is not a frequency."),
    ],
)
def test_paths_that_cannot_be_made(written: str, said: str) -> None:
    """A sentence says which name was meant, or what is allowed."""
    with pytest.raises(UnreadableError) as caught:
        two_paths(written)
    assert said in str(caught.value)


@pytest.mark.parametrize(
    ("written", "offset_hz"),
    [("80 Hz", 80.0), ("+80 Hz", 80.0), ("-0.1 kHz", -100.0), ("- 5 Hz", -5.0), (-7, -7.0)],
)
def test_offset_has_a_sign(written: object, offset_hz: float) -> None:
    """With a minus everything comes out too low."""
    assert offset_hertz(written) == offset_hz


@pytest.mark.parametrize("written", ["", "-", "80", "high", "2 kHz", "-1001 Hz", True])
def test_offsets_that_cannot_be_made(written: object) -> None:
    """A frequency is wanted, 1 kHz at the farthest."""
    with pytest.raises(UnreadableError):
        offset_hertz(written)
