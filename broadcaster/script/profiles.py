"""Voice profiles: who speaks, how fast, and with which pauses. Each is a YAML file in voices/."""

from typing import Annotated, Literal, TypeAlias

from pydantic import Field

from broadcaster.script.forms import Form
from broadcaster.script.values import Seconds, Whole

Language: TypeAlias = Literal["en", "de", "fr", "es"]
"""English, German, French, Spanish (ISO 639-1)."""

Gap = Annotated[Seconds, Field(ge=0, le=60)]


class VoiceProfile(Form):
    """One voice, as a file in voices/ describes it."""

    about: str
    """One line for `broadcaster voices`."""
    language: Language = "en"
    """What it speaks; figures, letters and times are said in this language."""
    engine: Literal["espeak", "system"] = "espeak"
    """Who speaks: the bundled espeak-ng, or the voices of the operating system."""
    engine_voice: str = "gmw/en"
    """The engine's own name for the voice. For espeak a language file, and after a plus sign a
    variant: `gmw/en-GB-x-rp+m3`. For system, the voice's identifier; empty for its usual voice."""
    rate: Annotated[Whole, Field(ge=80, le=450)] = 150
    """Words a minute."""
    pitch: Annotated[Whole, Field(ge=0, le=99)] = 50
    """0 to 99, where 50 is the voice's usual height. System voices keep their own."""
    pitch_range: Annotated[Whole, Field(ge=0, le=99)] = 50
    """How much the voice rises and falls: 0 (flat) to 99. System voices keep their own."""
    figures: Literal["plain", "aeronautical"] = "plain"
    """How single figures are said: as usual, or as ICAO Annex 10 Vol II 5.2.1.4.3 (`niner`)."""
    figure_gap: Gap = 0.35
    """Silence between figures or code words, so that a copyist keeps up."""
    group_gap: Gap = 1.2
    """Silence between groups, instead of the figure gap."""
    sentence_gap: Gap = 0.4
    """Silence between sentences."""
    pause: Gap = 0.6
    """Silence after a spoken item."""
