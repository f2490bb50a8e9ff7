"""The commands that only tell of something: voices, sounds, banks, outputs, schemas, the manual."""

import argparse
import json
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from broadcaster.errors import UsageError, path_to_write

if TYPE_CHECKING:
    from broadcaster.script.sounds import Sound


def voices(options: argparse.Namespace) -> int:
    """The voices that ship, those beside a script, or the names that the engine knows."""
    from broadcaster.script.shelves import own_voices, shipped_voices

    if options.engine:
        return _engine_voices(options)
    voices = own_voices(options.script) if options.script else shipped_voices()
    rows = {
        name: {
            "about": voice.about,
            "language": voice.language,
            "engine": voice.engine,
            "wpm": voice.rate,
        }
        for name, voice in voices.items()
    }
    if options.script and not rows:
        raise UsageError(f"No voice lies beside {options.script}, as a file `voices/NAME.yaml`.")
    return _list(rows, options)


def _engine_voices(options: argparse.Namespace) -> int:
    from broadcaster.voice.espeak import list_engine_variants, list_engine_voices

    rows = {name: {"about": "a voice of the engine that ships"} for name in list_engine_voices()}
    rows |= {
        f"+{name}": {"about": "a variant, behind any of them"} for name in list_engine_variants()
    }
    return _list(rows, options)


def bank(options: argparse.Namespace) -> int:
    """What a bank of clips has, and what it lacks."""
    from dataclasses import asdict

    from broadcaster.script.shelves import find_bank
    from broadcaster.voice.bank_check import check_bank

    report = check_bank(find_bank(options.folder))
    if options.json:
        print(json.dumps(asdict(report), ensure_ascii=False))
    else:
        from broadcaster.console.banks import show_bank

        show_bank(report)
    return 1 if report.faults else 0


def sounds(options: argparse.Namespace) -> int:
    """The period sounds that ship, or those of a script; or a picture of them."""
    from broadcaster.script.shelves import shipped_sounds

    if options.script:
        from broadcaster.script.loading import load_programme

        sounds, whose = load_programme(options.script).sounds, f"the sounds of {options.script}"
        if not sounds:
            raise UsageError(f"{options.script} has no sounds of its own, below `sounds:`.")
    else:
        sounds, whose = shipped_sounds(), "every sound that ships"
    if options.picture:
        _draw_sounds(path_to_write(options.picture, ".svg"), sounds)
        print(f"{options.picture} shows {whose}.")
        return 0
    return _list({name: {"about": sound.about} for name, sound in sounds.items()}, options)


def _draw_sounds(path: Path, sounds: Mapping[str, "Sound"]) -> None:
    from broadcaster.console.progress import Bar
    from broadcaster.rehearsal.picture_sounds import sounds_picture, spoken_sentence
    from broadcaster.rehearsal.picture_svg import write_picture

    with Bar() as bar:
        sheet = sounds_picture(
            sounds,
            spoken_sentence(),
            lambda done, total: bar.tell("Drawing", done, total),
        )
    write_picture(sheet, path)


def schema(options: argparse.Namespace) -> int:
    """The JSON Schema of a script, or of a venue's settings."""
    from broadcaster.script.schema import schema_text, script_schema, settings_schema

    print(schema_text(settings_schema() if options.settings else script_schema()), end="")
    return 0


def manual(options: argparse.Namespace) -> int:
    """A page of the manual, or a list of them."""
    from broadcaster.console.manual import show_topic, show_topics

    if options.topic is None:
        show_topics()
    else:
        show_topic(options.topic)
    return 0


def outputs(options: argparse.Namespace) -> int:
    """Where a broadcast can go on this machine."""
    from broadcaster.air.device_outputs import devices

    rows = {
        "auto": {"about": "the system's own sound device, else the first that opens, else silent"},
        "silent": {"about": "no sound: paced by the clock"},
        "file:PATH": {"about": "a WAV file, written as it goes out"},
    }
    found = {device.name: {"about": f"a device of {device.system}"} for device in devices()}
    if not found:
        print("No sound device was found on this machine.", file=sys.stderr)
    return _list(rows | found, options)


def _list(rows: Mapping[str, Mapping[str, object]], options: argparse.Namespace) -> int:
    """A table of names, or one JSON object."""
    if options.json:
        print(json.dumps(rows, ensure_ascii=False))
    else:
        from broadcaster.console.lists import show_list

        show_list(rows)
    return 0
