"""Speech for the tests of listening: spoken once for all of them."""

from functools import cache

from broadcaster.script.shelves import shipped_voices
from broadcaster.units import Samples
from broadcaster.voice.reading import read_text
from broadcaster.voice.speaker import Speaker


@cache
def speech(text: str, voice: str = "keeper") -> Samples:
    """A text in a shipped voice, shape (frames,), read only."""
    spoken = read_text(text, shipped_voices()[voice], None, Speaker(None))
    spoken.setflags(write=False)
    return spoken
