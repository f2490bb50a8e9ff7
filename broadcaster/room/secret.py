"""Secrets: from a file or from the environment, and never from anywhere else."""

import os
from pathlib import Path

from broadcaster.errors import UsageError

SHORTEST_TOKEN = 16
"""Characters. Together with the limit on guesses nobody finds it by trying (chosen)."""
_OTHERS = 0o004
"""Whom a file belongs to does not matter: everybody on the machine can read it."""


def read_secret(folder: Path, file: str | None, variable: str | None) -> str | None:
    """The secret that a section of the settings points to; None if it points to none.

    `folder`: where the settings lie; a file's name counts from there. The secret is the file's
    first line. Raises UsageError where it cannot be read or is empty.
    """
    if file is not None:
        return _in_file(secret_path(folder, file), file)
    if variable is None:
        return None
    secret = os.environ.get(variable, "").strip()
    if not secret:
        raise UsageError(f"The environment variable {variable} is not set, or is empty.")
    return secret


def read_token(folder: Path, file: str | None, variable: str | None) -> str | None:
    """A secret that nobody may find by trying. Raises UsageError where it is too short, too."""
    token = read_secret(folder, file, variable)
    if token is not None and len(token) < SHORTEST_TOKEN:
        raise UsageError(f"The token has {len(token)} characters; {SHORTEST_TOKEN} are the least.")
    return token


def secret_path(folder: Path, file: str) -> Path:
    """Where a file with a secret is."""
    return folder / Path(file).expanduser()


def all_can_read(path: Path) -> bool:
    """Whether every user of this machine can read a file; told by POSIX systems alone."""
    return os.name == "posix" and path.is_file() and bool(path.stat().st_mode & _OTHERS)


def _in_file(path: Path, written: str) -> str:
    try:
        lines = path.read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError) as error:
        if not path.exists() and _may_be_the_secret(written):
            raise UsageError(
                "The file with the secret is not there (its name is not shown, for it may be the "
                "secret itself): write the secret into a file, and name that file."
            ) from error
        reason = error.strerror if isinstance(error, OSError) else "it is no text in UTF-8"
        raise UsageError(f"The secret in {path} cannot be read: {reason}.") from error
    secret = lines[0].strip() if lines else ""
    if not secret:
        raise UsageError(f"The first line of {path} is empty; a secret should stand there.")
    return secret


def _may_be_the_secret(written: str) -> bool:
    """Whether a file's name looks like what should stand in the file."""
    like_a_path = "." in written or "/" in written or os.sep in written
    return not like_a_path or "=" in written or "+" in written
