"""A file that is complete or not there at all: it has another name until it is complete."""

import os
from contextlib import suppress
from pathlib import Path
from types import TracebackType
from typing import BinaryIO

from broadcaster.errors import StationError


class WholeFile:
    """A file being written. As a context it is completed at the end, or abandoned on an error."""

    def __init__(self, path: Path) -> None:
        """Raises StationError if there can be no file of that name."""
        self._path = path
        self._part = path.parent / f"{path.name}.part"
        if path.is_dir():
            raise StationError(f"Cannot write {path}: it is a folder.")
        if path.exists() and not path.is_file():
            raise StationError(f"Cannot write {path}: it is a device or the like, not a file.")
        if not path.parent.is_dir():
            raise StationError(f"Cannot write {path}: there is no folder {path.parent}.")
        try:
            self.file: BinaryIO = self._part.open("wb")
        except OSError as error:
            raise self._unwritable(error) from error

    def __enter__(self) -> BinaryIO:
        return self.file

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if error is None:
            self.complete()
            return
        self.abandon()
        if isinstance(error, OSError):
            raise self._unwritable(error) from error

    def complete(self) -> None:
        """Give the file its name. Raises StationError if that cannot be."""
        try:
            self.file.close()
            os.replace(self._part, self._path)
        except OSError as error:
            self.abandon()
            raise self._unwritable(error) from error

    def abandon(self) -> None:
        """Take away what was written."""
        with suppress(OSError):
            self.file.close()
        self._part.unlink(missing_ok=True)

    def _unwritable(self, error: OSError) -> StationError:
        return StationError(f"Cannot write {self._path}: {error.strerror}.")
