"""How long transitions last, for playout, which makes no sound. All chosen by ear."""

from collections.abc import Mapping
from types import MappingProxyType

from broadcaster.script.transitions import Transition
from broadcaster.units import frames_from_seconds

_WHOLE_S: Mapping[Transition, float] = MappingProxyType(
    {"cut": 0.0, "static burst": 0.25, "fade": 1.6, "retune sweep": 1.2, "carrier drop": 1.4}
)
_HIDDEN_S: Mapping[Transition, float] = MappingProxyType(
    {"cut": 0.0, "static burst": 0.22, "fade": 0.8, "retune sweep": 1.05, "carrier drop": 1.37}
)


def whole_frames_of(kind: Transition) -> int:
    """The frames from a transition's first to its last."""
    return frames_from_seconds(_WHOLE_S[kind])


def frames_of(kind: Transition) -> int:
    """The frames in which a transition hides what is sent: so long the next segment waits.

    The programme sinks as it begins: within 30 to 80 ms, but in a `fade` all that time.
    As it ends, behind these frames, the programme comes back.
    """
    return frames_from_seconds(_HIDDEN_S[kind])
