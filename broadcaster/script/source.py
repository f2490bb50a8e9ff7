"""A file as text: opened, weighed, and known to be text that an editor shows as we count it."""

import re
from pathlib import Path

from broadcaster.errors import Fault, Place, ScriptError, UsageError
from broadcaster.script.alphabets import shown

MOST_BYTES = 1024 * 1024
"""A script is text that someone wrote by hand; a bigger file is something else."""

_UTF16 = (b"\xff\xfe", b"\xfe\xff")
_LINE_END = re.compile("\r\n|\r|\n")
# What YAML 1.1 (5.1) counts as printable, less its three further line ends (U+0085, U+2028,
# U+2029), at which an editor would not begin a new line, and less the byte order mark.
_NOT_TEXT = re.compile(
    "[^\t\n\r -~\xa0-\u2027\u202a-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]"
)


def read_source(path: Path) -> str:
    """The text of a file, without a byte order mark.

    Raises UsageError if the file cannot be opened, ScriptError if it is no text or too big.
    """
    data = _bytes_of(path)
    if len(data) > MOST_BYTES:
        raise _fault(
            path, "", f"The file is larger than {MOST_BYTES // 1024} KiB.", "Is it a script?"
        )
    if data.startswith(_UTF16):
        raise _fault(path, "", "The file is UTF-16.", "Save it as UTF-8.")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = data[: error.start].decode("utf-8-sig")
        raise _fault(
            path,
            before,
            f"The file is not UTF-8: byte {error.start} is 0x{data[error.start]:02X}.",
            "Save it as UTF-8.",
        ) from None
    strange = strange_character(text)
    if strange is not None:
        raise _fault(
            path,
            text[:strange],
            f"Here is a character that is no text: {shown(text[strange])}.",
            "Take it out; if the file is full of them, it is not a script.",
        )
    return text


def strange_character(text: str) -> int | None:
    """The offset of the first control or other character that no text should have."""
    found = _NOT_TEXT.search(text)
    return found.start() if found else None


def _bytes_of(path: Path) -> bytes:
    try:
        if path.is_dir():
            raise UsageError(f"{path} is a folder; name the file in it.")
        if path.exists() and not path.is_file():
            raise UsageError(f"{path} is not a file.")
        with path.open("rb") as file:
            return file.read(MOST_BYTES + 1)
    except FileNotFoundError:
        raise UsageError(f"There is no file {path}.") from None
    except OSError as error:
        raise UsageError(f"{path} cannot be read: {error.strerror or error}.") from error
    except ValueError:  # a NUL in the name
        raise UsageError(f"{str(path)!r} cannot be the name of a file.") from None


def _fault(path: Path, before: str, message: str, mend: str) -> ScriptError:
    """A fault at the end of the text `before`."""
    lines = _LINE_END.split(before)
    return ScriptError([Fault(Place(str(path), len(lines), len(lines[-1]) + 1), message, mend)])
