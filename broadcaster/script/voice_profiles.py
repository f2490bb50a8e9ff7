"""A voice profile as a file: read, and what it draws on found beside it."""

from collections.abc import Iterator
from pathlib import Path

from broadcaster.errors import Fault, Place, ScriptError
from broadcaster.script.building import build
from broadcaster.script.names import clipped
from broadcaster.script.profiles import VoiceProfile
from broadcaster.script.reading import read_file
from broadcaster.script.tree import Mapping, Scalar

BANK_SHEET = "bank.yaml"
"""What describes the clips of a bank, in their folder."""

_DRAWS_ON = {"bank": ("bank", "bank"), "neural": ("voice file", "voice_file")}
"""Engine to the key that it cannot do without, and that key's field."""


def read_voice(path: Path) -> VoiceProfile:
    """A voice profile; `bank` and `voice_file` in it are whole paths, and lead to something.

    Raises UsageError if the file cannot be opened, ScriptError with all that is wrong in it.
    """
    tree, faults = read_file(path)
    built = build(tree, VoiceProfile)
    faults = [*faults, *built.faults]
    profile = built.form
    if profile and isinstance(tree, Mapping) and not faults:
        folder = path.parent.resolve()
        found = {
            field: str(folder / getattr(profile, field))
            for _, field in _DRAWS_ON.values()
            if getattr(profile, field)
        }
        profile = profile.model_copy(update=found)
        faults += _supply_faults(profile, tree)
    if faults or profile is None:
        raise ScriptError(faults)
    return profile


def bank_trouble(folder: Path, told: str) -> tuple[str, str] | None:
    """Why a folder, of which we speak as told, is no bank, and how to mend that; None if it is."""
    if not folder.is_dir():
        return f"There is no folder {clipped(told)}.", "Name the one in which the clips lie."
    if not (folder / BANK_SHEET).is_file():
        return (
            f"There is no `{BANK_SHEET}` in {clipped(told)}.",
            "Write one beside the clips; the line `about: who was recorded` is enough.",
        )
    return None


def voice_place(path: Path, *keys: str) -> Place:
    """Where the first of these keys that is written in a voice profile has its value."""
    tree, _ = read_file(path)
    values = tree.values if isinstance(tree, Mapping) else {}
    return next((values[key].place for key in keys if key in values), tree.place)


def _supply_faults(profile: VoiceProfile, tree: Mapping) -> Iterator[Fault]:
    """What an engine draws on and is not there, and keys that mean nothing to it."""
    own_key, _ = _DRAWS_ON.get(profile.engine, ("", ""))
    if own_key and own_key not in tree.keys:
        place = tree.keys["engine"].place
        yield Fault(place, f"`engine: {profile.engine}` needs `{own_key}`.", "Add it.")
    strangers = [key for key, _ in _DRAWS_ON.values() if key != own_key]
    if profile.engine != "bank":
        strangers.append("fallback")
    for key in strangers:
        if key in tree.keys:
            message = f"`{key}` means nothing with `engine: {profile.engine}`."
            yield Fault(tree.keys[key].place, message, "Take it out, or name another engine.")
    if profile.engine == "bank" and profile.bank:
        written = tree.values["bank"]
        told = written.text if isinstance(written, Scalar) else profile.bank
        trouble = bank_trouble(Path(profile.bank), told)
        if trouble:
            yield Fault(written.place, *trouble)
    if profile.engine == "neural" and profile.voice_file:
        for file in (Path(profile.voice_file), Path(f"{profile.voice_file}.json")):
            if not file.is_file():
                yield Fault(
                    tree.values["voice file"].place,
                    f"There is no file {clipped(str(file))}.",
                    "A voice is two files, `NAME.onnx` and `NAME.onnx.json`; name the first.",
                )
