"""How long PulseAudio keeps a frame, from asking for it to the loudspeaker: the server tells.

It is asked by a line of our own, because the library that plays does not ask; servers that speak
the same protocol are asked the same way.
"""

import ctypes
import os
import time
from collections.abc import Callable
from ctypes import CFUNCTYPE, POINTER, Structure, c_char_p, c_int, c_uint32, c_uint64, c_void_p
from types import TracebackType
from typing import Any, Self

ASKED = 25
"""Times in one measurement: each answer is off by up to what the sink takes at a time."""
EVERY_S = 0.007
"""Between two of them: a time that no sink's own has a common measure with."""
PATIENCE_S = 1.0
"""For the server to answer."""
_TURN_S = 0.001
_READY, _GONE = 4, (5, 6)  # pa_context_state: ready; failed, terminated
_RUNNING = 0  # pa_operation_state
_NO_AUTOSPAWN = 1  # pa_context_flags
_USEC = 1e-6


class _SinkInput(Structure):
    """The first fields of pa_sink_input_info, as they have been since PulseAudio 1.0."""

    _fields_ = (
        ("index", c_uint32),
        ("name", c_char_p),
        ("owner_module", c_uint32),
        ("client", c_uint32),
        ("sink", c_uint32),
        ("sample_spec", c_uint32 * 3),
        ("channel_map", c_uint32 * 33),
        ("volume", c_uint32 * 33),
        ("buffer_usec", c_uint64),
        ("sink_usec", c_uint64),
        ("resample_method", c_char_p),
        ("driver", c_char_p),
        ("mute", c_int),
        ("proplist", c_void_p),
    )


_Heard = CFUNCTYPE(None, c_void_p, POINTER(_SinkInput), c_int, c_void_p)

_RESULTS: dict[str, Any] = {
    "pa_mainloop_new": c_void_p,
    "pa_mainloop_get_api": c_void_p,
    "pa_mainloop_iterate": c_int,
    "pa_mainloop_free": None,
    "pa_context_new": c_void_p,
    "pa_context_connect": c_int,
    "pa_context_get_state": c_int,
    "pa_context_get_sink_input_info_list": c_void_p,
    "pa_context_disconnect": None,
    "pa_context_unref": None,
    "pa_operation_get_state": c_int,
    "pa_operation_unref": None,
    "pa_proplist_gets": c_char_p,
}
"""What is called, and what it gives."""


def pulse_delay_s() -> float | None:
    """Seconds that a frame of this process is kept; None where the server does not tell.

    Takes a fifth of a second, or PATIENCE_S where nobody answers.
    """
    try:
        library = ctypes.CDLL("libpulse.so.0")
    except OSError:
        return None
    delays_s: list[float] = []
    with _Line(library) as line:
        for _ in range(ASKED if line.open else 0):
            delays_s += line.ask()
            time.sleep(EVERY_S)
    return sorted(delays_s)[len(delays_s) // 2] if delays_s else None


class _Line:
    """A line to the sound server, used by one thread."""

    def __init__(self, library: ctypes.CDLL) -> None:
        self._call = library
        for name, result in _RESULTS.items():
            getattr(library, name).restype = result
        self._own = str(os.getpid()).encode()
        self._told: list[float] = []
        self._heard = _Heard(self._hear)

    def __enter__(self) -> Self:
        call = self._call
        self._loop = c_void_p(call.pa_mainloop_new())
        api = c_void_p(call.pa_mainloop_get_api(self._loop))
        self._context = c_void_p(call.pa_context_new(api, b"broadcaster"))
        asked = call.pa_context_connect(self._context, None, _NO_AUTOSPAWN, None) >= 0
        self.open = asked and self._wait_for(lambda: self._state() in (_READY, *_GONE))
        self.open = self.open and self._state() == _READY
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._call.pa_context_disconnect(self._context)
        self._call.pa_context_unref(self._context)
        self._call.pa_mainloop_free(self._loop)

    def ask(self) -> list[float]:
        """The delay of each of our streams, in seconds: there is one, or none any more."""
        call = self._call
        self._told = []
        asked = c_void_p(call.pa_context_get_sink_input_info_list(self._context, self._heard, None))
        if asked:
            self._wait_for(lambda: call.pa_operation_get_state(asked) != _RUNNING)
            call.pa_operation_unref(asked)
        return self._told

    def _hear(self, context: int, found: Any, end: int, data: int) -> None:  # noqa: ANN401  C data
        del context, data
        if end == 0 and found:
            stream = found.contents
            owner = self._call.pa_proplist_gets(
                c_void_p(stream.proplist), b"application.process.id"
            )
            if owner == self._own:
                self._told.append((stream.buffer_usec + stream.sink_usec) * _USEC)

    def _state(self) -> int:
        return int(self._call.pa_context_get_state(self._context))

    def _wait_for(self, reached: Callable[[], bool]) -> bool:
        deadline = time.monotonic() + PATIENCE_S
        while not reached():
            if self._call.pa_mainloop_iterate(self._loop, 0, None) < 0:
                return False
            if time.monotonic() > deadline:
                return False
            time.sleep(_TURN_S)
        return True
