"""A starter show: a small script to change into one's own, with the schema beside it."""

from pathlib import Path

from broadcaster.errors import UsageError
from broadcaster.script.schema import STORED

SCRIPT = "script.yaml"
"""The name of the starter's script."""
SCHEMA = "script.schema.json"
"""The name of the schema beside it; the script's first line names it to editors."""


def write_starter(folder: Path) -> Path:
    """Write a starter show into a folder, which is made if need be; gives the script's path.

    Raises UsageError for a folder that is not empty, or cannot be written to.
    """
    try:
        if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
            raise UsageError(f"{folder} is not empty; name a new folder for the show.")
        folder.mkdir(parents=True, exist_ok=True)
        for name, source in ((SCRIPT, Path(__file__).with_name(SCRIPT)), (SCHEMA, STORED)):
            (folder / name).write_bytes(source.read_bytes())
    except OSError as error:
        reason = error.strerror or error
        raise UsageError(f"{folder} cannot be written to: {reason}.") from error
    except ValueError:  # a NUL in the name
        raise UsageError(f"{str(folder)!r} cannot be the name of a folder.") from None
    return folder / SCRIPT
