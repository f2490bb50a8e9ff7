"""The commands: each a few lines over a room. Heavy rooms are imported where they are needed."""

import argparse
import gc
import json
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from broadcaster.command_line import Run, parser
from broadcaster.errors import BroadcasterError, MisnamedFileError, ScriptError, UsageError

if TYPE_CHECKING:
    from broadcaster.script.sounds import Sound


def main(arguments: Sequence[str] | None = None) -> int:
    """Run a command; its exit code: 0 good, 1 the script has faults, 2 usage, 3 no station."""
    gc.disable()  # most commands end soon; searching for what could be freed is a tenth of it
    options = parser(RUNS).parse_args(arguments)
    try:
        return int(options.run(options))
    except ScriptError as error:
        print(error, file=sys.stderr)
        return error.exit_code
    except BroadcasterError as error:
        print(f"broadcaster: {error}", file=sys.stderr)
        return error.exit_code
    except BrokenPipeError:
        sys.stderr.close()
        return 0
    except KeyboardInterrupt:
        return 130


def _new(options: argparse.Namespace) -> int:
    from broadcaster.script.starter import write_starter

    script = write_starter(Path(options.folder))
    print(f"{script} is yours to change. Check it: broadcaster check {script}")
    return 0


def _check(options: argparse.Namespace) -> int:
    from broadcaster.console.checking import checked, show_clues, show_sound

    report = checked(
        options.script,
        clues=options.clues or options.json,
        sound=options.sound,
        settings=options.settings,
        cache=options.cache,
    )
    print(json.dumps(report.as_record(), ensure_ascii=False) if options.json else report.as_text())
    if options.clues and not options.json:
        show_clues(report)
    if options.sound and not options.json:
        show_sound(report)
    return 1 if report.faults else 0


def _render(options: argparse.Namespace) -> int:
    from broadcaster.air.preparing import Preparing
    from broadcaster.console.progress import Bar
    from broadcaster.desk.faultless import faultless_programme
    from broadcaster.desk.places import cache_folder
    from broadcaster.rehearsal.loop import render_loop
    from broadcaster.units import seconds_from_frames, session_clock

    path = _to_write(options.output, ".wav")
    programme = faultless_programme(options.script)
    preparing = Preparing(
        programme,
        cache_folder(options.cache),
        tell=lambda sentence: print(sentence, file=sys.stderr),
    )
    with preparing as items, Bar() as bar:
        frames = render_loop(
            programme,
            options.segment,
            path,
            items,
            seed=options.seed,
            progress=lambda done, total: bar.tell(f"Rendering {options.segment}", done, total),
        )
    length = session_clock(seconds_from_frames(frames))
    print(f"{options.output}: a round of {options.segment!r}, {length} long, to be looped.")
    return 0


def _length(options: argparse.Namespace) -> float | None:
    """The seconds of `--for`."""
    from broadcaster.script.durations import seconds_of

    try:
        length_s = None if options.length is None else seconds_of(options.length)
    except ValueError as error:
        raise UsageError(f"--for: {error}") from error
    if length_s == 0:
        raise UsageError("--for: a broadcast takes some time; leave it out to go on until told.")
    return length_s


def _rehearse(options: argparse.Namespace) -> int:
    from broadcaster.console.rehearsing import Wishes, rehearse, rehearse_teams

    wishes = Wishes(
        script=options.script,
        events=options.events,
        length_s=_length(options),
        seed=options.seed,
        audio=options.audio and str(_to_write(options.audio, ".wav")),
        picture=options.picture and str(_to_write(options.picture, ".svg")),
        log=options.log,
        cache=options.cache,
        as_json=options.json,
    )
    if options.teams is None:
        rehearse(wishes)
    else:
        rehearse_teams(wishes, options.teams, options.workers)
    return 0


def _picture(options: argparse.Namespace) -> int:
    from broadcaster.rehearsal.picture_story import story_picture
    from broadcaster.rehearsal.picture_svg import write_picture
    from broadcaster.script.loading import load_programme

    path = _to_write(options.output, ".svg")
    write_picture(story_picture(load_programme(options.script)), path)
    print(f"{options.output} shows the story.")
    return 0


def _air(options: argparse.Namespace) -> int:
    if len(options.scripts) > 1:
        return _air_several(options)
    from broadcaster.console.watch import watch_in_line_mode, watch_in_lines, watch_on_screen
    from broadcaster.desk.of_each import of_each
    from broadcaster.desk.session import Wishes, put_on_air

    (script,) = options.scripts
    wishes = Wishes(
        script=script,
        output=of_each("--output", options.output, [script])[script] or "auto",
        start=options.start,
        length_s=_length(options),
        seed=options.seed,
        cache=options.cache,
        log=options.log,
        events=options.events,
        monitor=options.monitor,
        settings=of_each("--settings", options.settings, [script])[script],
    )
    gc.enable()  # this one stays
    on_terminal = sys.stdout.isatty() and sys.stderr.isatty()
    if options.plain:
        put_on_air(wishes, watch_in_line_mode())
    elif options.no_console or options.json or not on_terminal:
        if not options.start:
            print(
                "Without --start the carrier goes out alone until the room begins a session, "
                "by a way in that the settings open (`broadcaster manual room`).",
                file=sys.stderr,
            )
        put_on_air(wishes, watch_in_lines(as_json=options.json))
    else:
        log = put_on_air(wishes, watch_on_screen)
        print(f"Off air. What went out stands in {log}.")
    return 0


def _air_several(options: argparse.Namespace) -> int:
    from broadcaster.console.stations import air_several
    from broadcaster.desk.several import Several

    for option in ("events", "monitor", "plain"):
        if getattr(options, option):
            raise UsageError(f"--{option} is for one script; `air` it in a command of its own.")
    several = Several(
        scripts=tuple(options.scripts),
        outputs=tuple(options.output),
        settings=tuple(options.settings),
        start=options.start,
        length_s=_length(options),
        seed=options.seed,
        cache=options.cache,
        log=options.log,
    )
    gc.enable()  # this one stays
    return air_several(several, as_json=options.json)


def _console(options: argparse.Namespace) -> int:
    from broadcaster.console.watch import watch_recording

    if options.speed <= 0:
        raise UsageError("--speed: a number above nought, as in `--speed 4`.")
    gc.enable()  # this one stays
    watch_recording(Path(options.log), options.script, options.speed)
    print("The recording is closed.")
    return 0


def _venue(options: argparse.Namespace) -> int:
    from broadcaster.console.venue import Wishes, show_venue

    gc.enable()  # this one stays
    show_venue(
        Wishes(
            broker=options.broker,
            venue=options.venue,
            tls=options.tls,
            version=options.protocol,
            user=options.user,
            password_file=options.password_file,
            password_from=options.password_from,
            station=options.station,
            plain=options.plain or not sys.stdout.isatty(),
        )
    )
    return 0


def _voices(options: argparse.Namespace) -> int:
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


def _bank(options: argparse.Namespace) -> int:
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


def _sounds(options: argparse.Namespace) -> int:
    from broadcaster.script.shelves import shipped_sounds

    if options.script:
        from broadcaster.script.loading import load_programme

        sounds, whose = load_programme(options.script).sounds, f"the sounds of {options.script}"
        if not sounds:
            raise UsageError(f"{options.script} has no sounds of its own, below `sounds:`.")
    else:
        sounds, whose = shipped_sounds(), "every sound that ships"
    if options.picture:
        _draw_sounds(_to_write(options.picture, ".svg"), sounds)
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


def _schema(options: argparse.Namespace) -> int:
    from broadcaster.script.schema import schema_text, script_schema, settings_schema

    print(schema_text(settings_schema() if options.settings else script_schema()), end="")
    return 0


def _manual(options: argparse.Namespace) -> int:
    from broadcaster.console.manual import show_topic, show_topics

    if options.topic is None:
        show_topics()
    else:
        show_topic(options.topic)
    return 0


def _outputs(options: argparse.Namespace) -> int:
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


def _to_write(path: str, ending: str) -> Path:
    """The path of a file to write, before any work is done for it. Raises UsageError."""
    MisnamedFileError.refuse(Path(path), ending)
    return Path(path)


def _list(rows: Mapping[str, Mapping[str, object]], options: argparse.Namespace) -> int:
    """A table of names, or one JSON object."""
    if options.json:
        print(json.dumps(rows, ensure_ascii=False))
    else:
        from broadcaster.console.lists import show_list

        show_list(rows)
    return 0


RUNS: Mapping[str, Run] = {
    "new": _new,
    "check": _check,
    "render": _render,
    "rehearse": _rehearse,
    "picture": _picture,
    "air": _air,
    "console": _console,
    "venue": _venue,
    "voices": _voices,
    "bank": _bank,
    "sounds": _sounds,
    "outputs": _outputs,
    "schema": _schema,
    "manual": _manual,
}
"""What each command does."""

if __name__ == "__main__":
    sys.exit(main())
