"""Keeping libraries that write to the terminal themselves off the terminal."""

import os
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def quiet_libraries() -> Iterator[None]:
    """Nothing that a C library writes to standard error is seen while this lasts."""
    try:
        kept = os.dup(2)
    except OSError:  # the process has no standard error
        yield
        return
    try:
        with open(os.devnull, "wb") as nowhere:
            os.dup2(nowhere.fileno(), 2)
        yield
    finally:
        os.dup2(kept, 2)
        os.close(kept)
