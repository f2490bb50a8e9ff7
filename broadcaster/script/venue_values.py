"""What a venue's settings say of other machines and devices: where and which they are."""

import re
from ipaddress import ip_address
from typing import Annotated

from pydantic import AfterValidator

from broadcaster.errors import UnreadableError
from broadcaster.script.names import clipped
from broadcaster.script.shapes import Shape
from broadcaster.script.values import words

_USB = re.compile(r"([0-9a-fA-F]{4}):([0-9a-fA-F]{4})(?:[ :](\S+))?")
_HOST_AND_PORT = re.compile(r"([^\s:/]+):([0-9]{1,5})")
_PLACE = re.compile(r"([^\s:/]+|\[[0-9a-fA-F:.]+\]):([0-9]{1,5})")
HIGHEST_PORT = 65_535


def host(value: str) -> str:
    """`desk.example` or an address, and no port."""
    text = words(value).strip()
    if found := _HOST_AND_PORT.fullmatch(text):
        raise UnreadableError(
            f"{clipped(text)} is a host and a port.", f"Write `{found[1]}`, and `port: {found[2]}`."
        )
    if re.search(r"[\s/]", text) or (":" in text and not _is_address(text)):
        raise UnreadableError(
            f"{clipped(text)} is no host.",
            "Write its name or its address: `desk.example`, `192.0.2.5`.",
        )
    return text


def address(value: str) -> str:
    """`192.0.2.9` or `2001:db8::9`."""
    text = words(value).strip()
    if not _is_address(text.partition("%")[0]):
        raise UnreadableError(f"{clipped(text)} is no address.", "Write it as `192.0.2.9`.")
    return text


def place(value: str) -> str:
    """`192.0.2.9:9001`: a host and a port."""
    text = words(value).strip()
    found = _PLACE.fullmatch(text)
    if not found or not 0 < int(found[2]) <= HIGHEST_PORT:
        raise UnreadableError(
            f"{clipped(text)} is no address with a port behind it.", "Write it as `192.0.2.9:9001`."
        )
    return text


def usb_identity(value: str) -> str:
    """Text that usb_parts() can read."""
    usb_parts(value)
    return value


def usb_parts(text: str) -> tuple[int, int, str | None]:
    """Vendor, product and serial number (None: any) of `2341:0043 A1`; raises UnreadableError."""
    found = _USB.fullmatch(words(text).strip())
    if not found:
        raise UnreadableError(
            f"{clipped(text)} is no USB identity: vendor and product are four hexadecimal digits "
            "each.",
            "Write it as `2341:0043`; the system lists the devices that are plugged in.",
        )
    return int(found[1], 16), int(found[2], 16), found[3]


def _is_address(text: str) -> bool:
    try:
        ip_address(text)
    except ValueError:
        return False
    return True


Host = Annotated[
    str,
    AfterValidator(host),
    Shape(r"\s*(?:[^\s:/]+|[0-9a-fA-F.]*:[0-9a-fA-F.]*:[0-9a-fA-F.:]*)\s*", "desk.example"),
]
Address = Annotated[str, AfterValidator(address), Shape(r"\s*[0-9a-fA-F.:]+(?:%\S+)?\s*")]
HostAndPort = Annotated[
    str, AfterValidator(place), Shape(rf"\s*(?:{_PLACE.pattern})\s*", "192.0.2.9:9001")
]
UsbIdentity = Annotated[
    str, AfterValidator(usb_identity), Shape(rf"\s*{_USB.pattern}\s*", "2341:0043")
]
