"""A pin of a Raspberry Pi that a lamp hangs on. Its library is an extra: `pins`."""

import warnings
from types import TracebackType
from typing import Any, Self

from broadcaster.errors import UsageError


class Pin:
    """A KeyLine: the pin is high while the key is down. It is held between enter and exit."""

    def __init__(self, number: int) -> None:
        """`number`: the GPIO's."""
        self._number = number
        self._device: Any = None

    def __enter__(self) -> Self:
        """Take the pin. Raises UsageError where there is none, or another program has it."""
        try:
            import gpiozero
        except ImportError as error:
            raise UsageError(
                "Pins need gpiozero and lgpio: install `room-broadcaster[pins]` and `lgpio`."
            ) from error
        try:
            with warnings.catch_warnings():  # of each library that it looks for in vain
                warnings.simplefilter("ignore")
                self._device = gpiozero.DigitalOutputDevice(self._number)
        except (gpiozero.GPIOZeroError, OSError, RuntimeError) as error:
            raise UsageError(f"The pin {self._number} cannot be had: {error}") from error
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Let the pin go; it carries nothing any more."""
        self._device.close()
        self._device = None

    def key(self, *, down: bool) -> None:
        """Set the pin high, or low."""
        if self._device:
            self._device.value = down
