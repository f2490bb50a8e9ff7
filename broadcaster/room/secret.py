"""Secrets: from a file or from the environment, and never from anywhere else."""

import os
from pathlib import Path

from broadcaster.errors import UsageError


def read_secret(folder: Path, file: str | None, variable: str | None) -> str | None:
    """The secret that a section of the settings points to; None if it points to none.

    `folder`: where the settings lie; a file's name counts from there. The secret is the file's
    first line. Raises UsageError where it cannot be read or is empty.
    """
    if file is not None:
        return _in_file(folder / Path(file).expanduser())
    if variable is None:
        return None
    secret = os.environ.get(variable, "").strip()
    if not secret:
        raise UsageError(f"The environment variable {variable} is not set, or is empty.")
    return secret


def _in_file(path: Path) -> str:
    try:
        lines = path.read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError) as error:
        raise UsageError(f"The secret in {path} cannot be read: {error}.") from error
    secret = lines[0].strip() if lines else ""
    if not secret:
        raise UsageError(f"The first line of {path} is empty; a secret should stand there.")
    return secret
