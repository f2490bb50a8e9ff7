"""The voices and the sound that a script names: found, read, or reported where they are named."""

from collections.abc import Iterator

from broadcaster.errors import Fault, ScriptError
from broadcaster.script.names import clipped, known_names
from broadcaster.script.profiles import VoiceProfile
from broadcaster.script.programme import Item, SpokenItem, Station
from broadcaster.script.reading import read_form
from broadcaster.script.scene import Scene, Written
from broadcaster.script.shelves import shipped_sounds, voice_files
from broadcaster.script.sounds import Sound


def cast_voices(scene: Scene) -> tuple[dict[str, VoiceProfile], list[Fault]]:
    """Every voice that the script names, and the faults in naming them and in their own files."""
    files = voice_files(scene.folder)
    cast: dict[str, VoiceProfile] = {}
    faults: list[Fault] = []
    faulty: set[str] = set()
    for name, part in _voices_named(scene):
        if name not in files:
            message = f"There is no voice {clipped(name)}."
            faults.append(part.fault("voice", message, known_names(name, files)))
        elif name not in cast and name not in faulty:
            try:
                cast[name] = read_form(files[name], VoiceProfile)
            except ScriptError as error:
                faulty.add(name)
                faults += error.faults
    return cast, faults


def _voices_named(scene: Scene) -> Iterator[tuple[str, Written[Station] | Written[Item]]]:
    if scene.station:
        yield scene.station.form.voice, scene.station
    for item in scene.items():
        if isinstance(item.form, SpokenItem) and item.form.voice is not None:
            yield item.form.voice, item


def period_sound(scene: Scene) -> tuple[Sound | None, list[Fault]]:
    """The sound that the station names, or the fault that there is none of that name."""
    if scene.station is None:
        return None, []
    sounds = shipped_sounds()
    name = scene.station.form.sound
    if name in sounds:
        return sounds[name], []
    message = f"There is no sound {clipped(name)}."
    return None, [scene.station.fault("sound", message, known_names(name, sounds))]
