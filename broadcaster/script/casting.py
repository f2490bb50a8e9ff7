"""The voices and the sound that a script names: found, read, or reported where they are named."""

from collections.abc import Iterator
from collections.abc import Mapping as AnyMapping

from broadcaster.errors import Fault, Place, ScriptError
from broadcaster.script.names import clipped, known_names
from broadcaster.script.profiles import Language, VoiceProfile
from broadcaster.script.programme import Groups, SpokenItem
from broadcaster.script.scene import Scene
from broadcaster.script.shelves import shipped_sounds, voice_files
from broadcaster.script.sounds import Sound
from broadcaster.script.voice_profiles import read_voice


def cast_voices(scene: Scene) -> tuple[dict[str, VoiceProfile], list[Fault]]:
    """Every voice that the script names, and the faults in naming them and in their own files."""
    files = voice_files(scene.folder)
    cast: dict[str, VoiceProfile] = {}
    faults: list[Fault] = []
    faulty: set[str] = set()
    for name, language, place in _voices_named(scene):
        if name not in files:
            message = f"There is no voice {clipped(name)}."
            own = f"One of your own is a file {clipped(f'voices/{name}.yaml')} beside the script."
            faults.append(Fault(place, message, f"{known_names(name, files)} {own}"))
            continue
        if name not in cast and name not in faulty:
            try:
                cast[name] = read_voice(files[name])
            except ScriptError as error:
                faulty.add(name)
                faults += error.faults
        if name in cast and language not in (None, cast[name].language):
            message = f"The voice `{name}` speaks `{cast[name].language}`, not `{language}`."
            faults.append(Fault(place, message, "Choose a voice of that language."))
    return cast, [*faults, *_language_faults(scene, cast)]


def _voices_named(scene: Scene) -> Iterator[tuple[str, Language | None, Place]]:
    """Each voice that is named, the language that it must speak there, and where."""
    station = scene.station
    if station:
        yield station.form.voice, None, station.place("voice")
        for language, name in station.form.voices.items():
            yield name, language, station.place_under("voices", language)
    for item in scene.items():
        if isinstance(item.form, SpokenItem) and item.form.voice is not None:
            yield item.form.voice, item.form.language, item.place("voice")


def _language_faults(scene: Scene, cast: AnyMapping[str, VoiceProfile]) -> Iterator[Fault]:
    """Languages for which the station has no voice, and ways with figures that they do not have."""
    station = scene.station
    usual = cast.get(station.form.voice) if station else None
    if station is None or usual is None or not station.could_read("voices"):
        return
    for part in scene.items():
        item = part.form
        if not isinstance(item, SpokenItem):
            continue
        voice = cast.get(item.voice) if item.voice else usual
        language = item.language or (voice.language if voice else "en")
        if item.voice is None and language not in (usual.language, *station.form.voices):
            yield part.fault(
                "language",
                f"The station has no voice that speaks `{language}`.",
                f"Add `voices: {{{language}: NAME}}` to `station`.",
            )
        if isinstance(item, Groups) and item.figures == "aeronautical" and language != "en":
            yield part.fault(
                "figures",
                f"Figures as in aviation are English, and this is `{language}`.",
                "Take `figures` out.",
            )


def period_sound(scene: Scene) -> tuple[Sound | None, list[Fault]]:
    """The sound that the station names, or the fault that there is none of that name."""
    if scene.station is None:
        return None, []
    sounds = shipped_sounds() | scene.script.form.sounds
    name = scene.station.form.sound
    if name in scene.sound_names:
        return scene.script.form.sounds.get(name), []  # what is wrong with it has been told
    if name in sounds:
        return sounds[name], []
    message = f"There is no sound {clipped(name)}."
    return None, [scene.station.fault("sound", message, known_names(name, sounds))]
