"""Voice profiles: who speaks, how fast, and with which pauses. Each is a YAML file in voices/."""

from typing import Literal

from broadcaster.script.forms import Form
from broadcaster.script.values import Seconds, Whole


class VoiceProfile(Form):
    """One voice, as a file in voices/ describes it."""

    about: str
    """One line for `broadcaster voices`."""
    engine: Literal["espeak", "system"] = "espeak"
    """Who speaks: the bundled espeak-ng, or the voices of the operating system."""
    engine_voice: str = "gmw/en"
    """The engine's own name for the voice, with its variant."""
    rate: Whole = 150
    """Words a minute."""
    pitch: Whole = 50
    """0 to 99."""
    figures: Literal["plain", "aeronautical"] = "plain"
    """How single figures are said: as usual, or as ICAO Annex 10 Vol II 5.2.1.4.3 (`niner`)."""
    figure_gap: Seconds = 0.35
    """Pause after each figure or letter, so that a copyist keeps up."""
    group_gap: Seconds = 1.2
    """Pause between groups."""
    pause: Seconds = 0.6
    """Pause after a spoken item."""
