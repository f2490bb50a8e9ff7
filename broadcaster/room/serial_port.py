"""Where a USB device's serial line is: by its identity, whichever port it was plugged into."""

from dataclasses import dataclass

from serial.tools import list_ports

from broadcaster.script.venue_values import usb_parts


@dataclass(frozen=True, slots=True)
class Identity:
    """A device as USB knows it."""

    vendor: int
    product: int
    serial_number: str | None
    """None: any device of the kind."""


def read_identity(written: str) -> Identity:
    """`2341:0043`, or with a serial number behind it."""
    return Identity(*usb_parts(written))


def find_port(identity: Identity) -> str | None:
    """The name of the port at which the device is now; None: it is not plugged in."""
    for port in list_ports.comports():
        same_kind = (port.vid, port.pid) == (identity.vendor, identity.product)
        if same_kind and identity.serial_number in (None, port.serial_number):
            return str(port.device)
    return None
