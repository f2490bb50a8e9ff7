"""One row of each kind that a sound's table may hold."""

from broadcaster.script.sounds import AnyProcessor, Sound


def row(kind: str, value: str, **options: str) -> AnyProcessor:
    """A row of a sound's table."""
    table = {"about": "One.", "processors": [{kind: value} | options]}
    return Sound.model_validate(table).processors[0]


EXAMPLES = {
    example.kind: example
    for example in (
        row("band", "300 Hz to 3.4 kHz"),
        row("saturation", "9 dB"),
        row("fading", "14 dB", rate="3 Hz"),
        row("hiss", "-40 dB"),
        row("crackle", "-20 dB", every="50 ms"),
        row("hum", "-40 dB"),
    )
}
"""One row of each kind that a table may hold."""

WITHOUT_CHANCE = frozenset({"band", "saturation", "hum"})
"""Kinds that do the same whatever the seed."""
