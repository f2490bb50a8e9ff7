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
        row("paths", "flutter fading", depth="0.8"),
        row("static", "-30 dB", index="0.1", band="200 Hz to 4 kHz"),
        row("whistle", "-30 dB", wander="30 Hz"),
        row("mistuning", "-70 Hz", drift="5 Hz"),
        row("murmur", "-30 dB", inverted="yes"),
        row("carrier", "-20 dB", every="500 ms", length="50 ms", keyed="100 ms"),
        row("pre emphasis", "50 us"),
        row("de emphasis", "75 us"),
        row("over modulation", "14 dB"),
        row("automatic gain", "20 dB", attack="20 ms", recovery="200 ms"),
        row("companding", "-20 dB"),
        row("flutter", "0.3 %", wow="1 %"),
        row("dropouts", "20 dB", every="100 ms"),
        row("key clicks", "-6 dB"),
        row("carbon", "50 %"),
        row("ring", "45 Hz"),
        row("comb", "7 ms"),
    )
}
"""One row of each kind that a table may hold."""

WITHOUT_CHANCE = frozenset(
    {
        "band",
        "saturation",
        "hum",
        "pre emphasis",
        "de emphasis",
        "over modulation",
        "automatic gain",
        "flutter",
        "key clicks",
        "carbon",
        "ring",
        "comb",
    }
)
"""Kinds that do the same whatever the seed."""
