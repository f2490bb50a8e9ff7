"""Voice profiles: who speaks, how fast, and with which pauses. Each is a YAML file in voices/."""

from typing import Annotated, Literal, TypeAlias

from pydantic import Field

from broadcaster.script.forms import Form
from broadcaster.script.values import Seconds, Whole, Words

Language: TypeAlias = Literal["en", "de", "fr", "es"]
"""English, German, French, Spanish (ISO 639-1)."""

Readings: TypeAlias = Literal["once", "each group twice", "all twice"]
"""How often figures in groups are read, and in which order."""

Gap = Annotated[Seconds, Field(ge=0, le=60)]


class VoiceProfile(Form):
    """One voice, as a file in voices/ describes it."""

    about: str
    """One line for `broadcaster voices`."""
    language: Language = "en"
    """What it speaks; figures, letters and times are said in this language."""
    engine: Literal["espeak", "system", "bank", "neural"] = "espeak"
    """Who speaks: the bundled espeak-ng, the voices of the operating system, a bank of recorded
    clips, or a voice file of the extra `neural`."""
    engine_voice: str = "gmw/en"
    """The engine's own name for the voice. For espeak a language file, and after a plus sign a
    variant: `gmw/en-GB-x-rp+m3`. For system, the voice's identifier; empty for its usual voice."""
    bank: Words | None = None
    """For `engine: bank`: the folder of clips, from this file's folder."""
    fallback: Literal["espeak", "system"] | None = None
    """For `engine: bank`: who says what the bank lacks, with the engine voice, rate and pitch of
    this file. Without it, a text with words that the bank lacks is a fault."""
    voice_file: Words | None = None
    """For `engine: neural`: the voice's ONNX file, from this file's folder; its settings lie beside
    it as `.onnx.json`."""
    rate: Annotated[Whole, Field(ge=80, le=450)] = 150
    """Words a minute. Recorded clips keep their own."""
    pitch: Annotated[Whole, Field(ge=0, le=99)] = 50
    """0 to 99, where 50 is the voice's usual height; for espeak alone."""
    pitch_range: Annotated[Whole, Field(ge=0, le=99)] = 50
    """How much the voice rises and falls: 0 (flat) to 99; for espeak alone."""
    figures: Literal["plain", "aeronautical"] = "plain"
    """How single figures are said: as usual, or as ICAO Annex 10 Vol II 5.2.1.4.3 (`niner`)."""
    figure_gap: Gap = 0.35
    """Silence between figures or code words, so that a copyist keeps up."""
    group_gap: Gap = 1.2
    """Silence between groups, and between the readings of one, instead of the figure gap."""
    readings: Readings = "once"
    """How figures in groups are read: `once`, `each group twice` running, or `all twice`."""
    say_again: Words | None = None
    """What is said between two readings: `I say again.`"""
    sentence_gap: Gap = 0.4
    """Silence between sentences."""
    pause: Gap = 0.6
    """Silence after a spoken item."""


class BankSheet(Form):
    """What `bank.yaml` says of the clips that lie beside it."""

    about: str
    """One line on who was recorded, and where."""
    language: Language = "en"
    """What the clips are in; a figure's clip may be named by its word in this language."""
    gap: Annotated[Seconds, Field(ge=0, le=2)] = 0.06
    """Silence between two clips of one sentence."""
    comma_gap: Annotated[Seconds, Field(ge=0, le=2)] = 0.25
    """The same, where the text has a comma or the like."""
