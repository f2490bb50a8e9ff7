"""Makes the bank that ships, voices/clock, with our own engine: `python -m tests.voice.clock_bank`.

FLAC at 16 kHz, as a drum of the fifties sounded no brighter, with some silence around the words.
"""

from pathlib import Path

import numpy as np
import soundfile
from scipy.signal import resample_poly

from broadcaster.script.profiles import VoiceProfile
from broadcaster.units import RATE
from broadcaster.voice.figures import plain_words
from broadcaster.voice.speaker import Speaker
from broadcaster.voice.utterance import utterance_of

FOLDER = Path(__file__).parents[2] / "voices" / "clock"
ANNOUNCER = VoiceProfile(
    about="the clock house",
    engine_voice="gmw/en-GB-x-rp+klatt3",
    rate=130,
    pitch=52,
    pitch_range=30,
)
NUMBERS = (
    "ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen twenty thirty"
    " forty fifty"
)
WORDS = f"{NUMBERS} oh hour hours minute minutes second seconds and yes no"
CALLS = (
    "at the last stroke",
    "it will be",
    "precisely",
    "I say again",
    "Heron calling",
    "Heron calling all keepers",
    "keepers",
    "stand by",
    "high water",
    "low water",
    "the lamp is lit",
    "the lamp is out",
    "end of message",
)
CLIP_RATE_HZ = 16_000


def texts() -> tuple[str, ...]:
    """What is said, each in a clip of that name: figures, letters' code words, times, calls."""
    return (*plain_words("en").values(), *WORDS.split(), *CALLS)


def recording(text: str, speaker: Speaker) -> np.ndarray:
    """One clip, shape (frames,), int16, at CLIP_RATE_HZ."""
    spoken = resample_poly(speaker.speak(utterance_of(text, ANNOUNCER)), 1, RATE // CLIP_RATE_HZ)
    room = np.zeros(CLIP_RATE_HZ // 20)
    clip = np.concatenate([room, spoken, room])
    return np.round(np.clip(clip, -1.0, 1.0) * 32_767).astype(np.int16)


def main() -> None:
    """Write every clip."""
    speaker = Speaker(None)
    for text in texts():
        path = FOLDER / f"{text.lower()}.flac"
        soundfile.write(path, recording(text, speaker), CLIP_RATE_HZ, subtype="PCM_16")


if __name__ == "__main__":
    main()
