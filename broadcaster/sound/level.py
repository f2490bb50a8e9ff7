"""How loud each kind of item is: as loud as speech, unless its writer says otherwise.

Every kind has the RMS of speech while it sounds. A sine of that RMS seems slightly softer than
speech, since it fills one critical band of the ear only. Chosen so, not tuned by ear.
"""

import math

import numpy as np

from broadcaster.units import Samples, gain_from_db
from broadcaster.voice.finish import SPEECH_DBFS, levelled

SINE_PEAK = math.sqrt(2.0) * gain_from_db(SPEECH_DBFS)
"""Peak of a sine that is as loud as speech: 0.141."""


def as_loud_as_speech(samples: Samples) -> Samples:
    """The sound scaled as a whole to the RMS of speech, or less where its peaks ask for it.

    Silence stays silence.
    """
    return levelled(samples) if samples.any() else samples


def at_level(samples: Samples, level_db: float) -> Samples:
    """The sound louder or softer by level_db, as far as full scale allows.

    Where a peak would pass full scale, the whole sound is softer instead; nothing is ever cut.
    """
    gain = gain_from_db(level_db)
    peak = max(float(samples.max(initial=0.0)), -float(samples.min(initial=0.0)))
    if peak * gain > 1.0:
        gain = 1.0 / peak
    if gain == 1.0:
        return samples
    return (samples * np.float32(gain)).clip(-1.0, 1.0)  # the clip takes off rounding only
