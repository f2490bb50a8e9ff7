"""The commands: each a few lines over a room. Heavy rooms are imported where they are needed."""

import argparse
import gc
import json
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path

from broadcaster import list_commands
from broadcaster.command_line import Run, parser
from broadcaster.errors import BroadcasterError, ScriptError, UsageError, path_to_write


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
    from broadcaster.rehearsal.loop import render_loop, strength_in
    from broadcaster.script.reception import FULL_SIGNAL
    from broadcaster.units import seconds_from_frames, session_clock

    path = path_to_write(options.output, ".wav")
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
    strength = strength_in(programme, options.segment)
    weak = f", at signal {strength:g}, as a session begins" if strength < FULL_SIGNAL else ""
    print(f"{options.output}: a round of {options.segment!r}, {length} long{weak}, to be looped.")
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
        audio=options.audio and str(path_to_write(options.audio, ".wav")),
        picture=options.picture and str(path_to_write(options.picture, ".svg")),
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

    path = path_to_write(options.output, ".svg")
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


RUNS: Mapping[str, Run] = {
    "new": _new,
    "check": _check,
    "render": _render,
    "rehearse": _rehearse,
    "picture": _picture,
    "air": _air,
    "console": _console,
    "venue": _venue,
    "voices": list_commands.voices,
    "bank": list_commands.bank,
    "sounds": list_commands.sounds,
    "outputs": list_commands.outputs,
    "schema": list_commands.schema,
    "manual": list_commands.manual,
}
"""What each command does."""

if __name__ == "__main__":
    sys.exit(main())
