"""Where voices, sounds and scripts are kept: what ships, and what lies beside a script."""

from pathlib import Path

import broadcaster
from broadcaster.errors import UsageError
from broadcaster.script.names import known_names
from broadcaster.script.profiles import VoiceProfile
from broadcaster.script.reading import read_forms
from broadcaster.script.sounds import Sound
from broadcaster.script.voice_profiles import bank_trouble, read_voice

_PACKAGE = Path(broadcaster.__file__).parent
_SUFFIX = ".yaml"


def voice_files(beside: Path | None = None) -> dict[str, Path]:
    """Every voice profile by its name; one in the folder `voices` beside a script wins."""
    return _files_in(_shipped("voices")) | (_files_in(beside / "voices") if beside else {})


def shipped_voices() -> dict[str, VoiceProfile]:
    """Every voice that ships, by its name."""
    return {name: read_voice(path) for name, path in voice_files().items()}


def own_voices(script: str) -> dict[str, VoiceProfile]:
    """The voices that lie beside a script, by their names.

    Raises UsageError for a script that is not there, ScriptError for what is wrong in a voice.
    """
    files = _files_in(find_script(script).parent / "voices")
    return {name: read_voice(path) for name, path in files.items()}


def find_bank(name: str) -> Path:
    """The folder of a bank: a path, or the name of one that ships. Raises UsageError."""
    path = Path(name)
    if path.is_file():
        folder = path.with_suffix("")
        raise UsageError(f"{name} is a file; name the folder in which the clips lie, as {folder}.")
    if not path.exists() and path.parent in (Path(), Path("voices")):
        shipped = _shipped("voices") / path.name
        if shipped.is_dir():
            return shipped
    if trouble := bank_trouble(path, name):
        raise UsageError(" ".join(trouble))
    return path


def shipped_sounds() -> dict[str, Sound]:
    """Every period sound that ships, by its name."""
    return read_forms(_PACKAGE / "period" / f"sounds{_SUFFIX}", Sound)


def script_files() -> dict[str, Path]:
    """Every script that ships, by its name."""
    return _files_in(_shipped("scripts"))


def find_script(name: str | Path) -> Path:
    """The file of a script: a path, or the name of one that ships. Raises UsageError."""
    path = Path(name)
    if path.exists():
        return path
    shipped = script_files()
    if str(name) in shipped:
        return shipped[str(name)]
    near = known_names(path.stem, shipped)
    raise UsageError(f"There is no file {name}, and no script of that name ships. {near}")


def name_to_tell(asked: str | Path, path: Path) -> Path:
    """How to speak of a script's file to someone who asked for it.

    By the path that was given; a script that ships by its path in the current folder, else by its
    name, as nobody knows where it is installed.
    """
    if Path(asked) == path:
        return path
    here = Path.cwd()
    return path.relative_to(here) if path.is_relative_to(here) else Path(asked)


def _shipped(shelf: str) -> Path:
    """A shelf in the installed package, or in the checkout that holds it."""
    installed = _PACKAGE / "shipped" / shelf
    return installed if installed.is_dir() else _PACKAGE.parent / shelf


def _files_in(folder: Path) -> dict[str, Path]:
    return {path.stem: path for path in sorted(folder.glob(f"*{_SUFFIX}"))}
