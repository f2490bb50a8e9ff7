"""The commands: each a few lines over a room. Heavy rooms are imported where they are needed."""

import argparse
import json
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path

from broadcaster import __version__
from broadcaster.errors import BroadcasterError, ScriptError, UsageError

ON_AIR = """
The station goes on when this command dies, and the same command finds it again. What takes it off
air is Ctrl+Q at the console, or Ctrl-C where there is none.

"""
CAUTION = """\
Transmitters: even a tiny FM transmitter needs to be of a kind that is licence-exempt where you
are, on a frequency that your local rules allow; when in doubt ask the authority or a licensed
engineer. A broadcast is part of a game: it is never the venue's alarm or evacuation system."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run a command; its exit code: 0 good, 1 the script has faults, 2 usage, 3 no station."""
    options = _parser().parse_args(arguments)
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


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="broadcaster",
        description="A radio station for an escape room: one script in, one gapless broadcast out.",
        epilog=CAUTION,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="version", version=__version__)
    commands = parser.add_subparsers(title="commands", required=True, metavar="COMMAND")

    new = _command(commands, "new", _new, "write a starter show to change", "new night-flower")
    new.add_argument("folder", metavar="DIR", help="a folder that is new, or empty")

    check = _command(
        commands, "check", _check, "find every fault in a script", "check scripts/low-water.yaml"
    )
    check.add_argument("script", help="a script, or the name of one that ships")
    check.add_argument("--json", action="store_true", help="print one JSON object")
    check.add_argument(
        "--clues", action="store_true", help="tell how long whoever tunes in waits for each clue"
    )
    _add_cache(check)

    render = _command(
        commands,
        "render",
        _render,
        "write a segment as a loop file for a stand-alone player",
        "render scripts/low-water.yaml --segment watch -o watch.wav",
    )
    render.add_argument("script", help="a script, or the name of one that ships")
    render.add_argument("--segment", required=True, metavar="NAME", help="the segment to loop")
    render.add_argument("-o", "--output", required=True, metavar="FILE", help="a WAV file to write")
    _add_common(render)

    rehearse = _command(
        commands,
        "rehearse",
        _rehearse,
        "run a whole session at once, without an output",
        "rehearse scripts/low-water.yaml --events team.yaml --picture session.svg",
    )
    rehearse.add_argument("script", help="a script, or the name of one that ships")
    rehearse.add_argument("--events", metavar="FILE", help="what room and operator do, and when")
    rehearse.add_argument("--for", dest="length", metavar="TIME", help="only the first, say, `30s`")
    rehearse.add_argument("--audio", metavar="FILE", help="a WAV file to write")
    rehearse.add_argument("--picture", metavar="FILE", help="an SVG file to write")
    rehearse.add_argument("--log", metavar="FILE", help="an as-run log to write")
    rehearse.add_argument("--json", action="store_true", help="print the as-run log as JSON lines")
    rehearse.add_argument("--teams", type=int, metavar="N", help="play so many random teams")
    rehearse.add_argument("--workers", type=int, metavar="N", help="processes that play teams")
    _add_common(rehearse)

    picture = _command(
        commands,
        "picture",
        _picture,
        "draw the story: segments, exits, clues",
        "picture scripts/low-water.yaml -o story.svg",
    )
    picture.add_argument("script", help="a script, or the name of one that ships")
    picture.add_argument("-o", "--output", required=True, metavar="FILE", help="an SVG file")

    air = _command(
        commands,
        "air",
        _air,
        "put a script on air",
        "air scripts/low-water.yaml --start",
        ON_AIR + CAUTION,
    )
    air.add_argument("script", help="a script, or the name of one that ships")
    air.add_argument(
        "--output",
        default="auto",
        metavar="OUT",
        help="auto (default), silent, file:PATH, or a name from `broadcaster outputs`",
    )
    air.add_argument("--start", action="store_true", help="begin a session at once")
    air.add_argument(
        "--for", dest="length", metavar="TIME", help="go off air after so long: 30s, 2h"
    )
    air.add_argument("--events", metavar="FILE", help="what happens in the session, and when")
    air.add_argument("--no-console", action="store_true", help="print what happens, line by line")
    air.add_argument("--json", action="store_true", help="print it as JSON; implies --no-console")
    air.add_argument(
        "--log", metavar="FILE", help="the as-run log; else one in your own state folder"
    )
    _add_common(air)

    for name, run, about in (
        ("voices", _voices, "list the voices that ship"),
        ("sounds", _sounds, "list the period sounds that ship"),
        ("outputs", _outputs, "list where a broadcast can go on this machine"),
    ):
        lister = _command(commands, name, run, about, name)
        lister.add_argument("--json", action="store_true", help="print one JSON object")

    about = "print the JSON Schema of a script, for editors"
    _command(commands, "schema", _schema, about, "schema > script.schema.json")
    return parser


def _command(
    commands: "argparse._SubParsersAction[argparse.ArgumentParser]",
    name: str,
    run: object,
    about: str,
    example: str,
    more: str = "",
) -> argparse.ArgumentParser:
    parser = commands.add_parser(
        name,
        help=about,
        description=f"{about[:1].upper()}{about[1:]}.{more}",
        epilog=f"example: broadcaster {example}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.set_defaults(run=run)
    return parser


def _add_common(parser: argparse.ArgumentParser) -> None:
    """What every command that makes a broadcast can be told."""
    parser.add_argument(
        "--seed", type=int, default=0, metavar="N", help="another N, other static and chance"
    )
    _add_cache(parser)


def _add_cache(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--cache", metavar="DIR", help="where spoken words are kept; else your own cache folder"
    )


def _new(options: argparse.Namespace) -> int:
    from broadcaster.script.starter import write_starter

    script = write_starter(Path(options.folder))
    print(f"{script} is yours to change. Check it: broadcaster check {script}")
    return 0


def _check(options: argparse.Namespace) -> int:
    from broadcaster.console.checking import checked, show_clues

    report = checked(options.script, clues=options.clues or options.json, cache=options.cache)
    print(json.dumps(report.as_record(), ensure_ascii=False) if options.json else report.as_text())
    if options.clues and not options.json:
        show_clues(report)
    return 1 if report.faults else 0


def _render(options: argparse.Namespace) -> int:
    from broadcaster.air.preparing import Preparing
    from broadcaster.console.progress import Bar
    from broadcaster.desk.faultless import faultless_programme
    from broadcaster.desk.places import cache_folder
    from broadcaster.rehearsal.loop import render_loop
    from broadcaster.units import seconds_from_frames, session_clock

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
            Path(options.output),
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
        audio=options.audio,
        picture=options.picture,
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

    write_picture(story_picture(load_programme(options.script)), Path(options.output))
    print(f"{options.output} shows the story.")
    return 0


def _air(options: argparse.Namespace) -> int:
    from broadcaster.console.watch import watch_in_lines, watch_on_screen
    from broadcaster.desk.session import Wishes, put_on_air

    wishes = Wishes(
        script=options.script,
        output=options.output,
        start=options.start,
        length_s=_length(options),
        seed=options.seed,
        cache=options.cache,
        log=options.log,
        events=options.events,
    )
    on_terminal = sys.stdout.isatty() and sys.stderr.isatty()
    if options.no_console or options.json or not on_terminal:
        if not options.start:
            print(
                "Without --start a session begins only from the console; "
                "until then the carrier goes out alone.",
                file=sys.stderr,
            )
        put_on_air(wishes, watch_in_lines(as_json=options.json))
    else:
        log = put_on_air(wishes, watch_on_screen)
        print(f"Off air. What went out stands in {log}.")
    return 0


def _voices(options: argparse.Namespace) -> int:
    from broadcaster.script.shelves import shipped_voices

    rows = {
        name: {
            "about": voice.about,
            "language": voice.language,
            "engine": voice.engine,
            "wpm": voice.rate,
        }
        for name, voice in shipped_voices().items()
    }
    return _list(rows, options)


def _sounds(options: argparse.Namespace) -> int:
    from broadcaster.script.shelves import shipped_sounds

    return _list(
        {name: {"about": sound.about} for name, sound in shipped_sounds().items()}, options
    )


def _schema(_options: argparse.Namespace) -> int:
    from broadcaster.script.schema import schema_text

    print(schema_text(), end="")
    return 0


def _outputs(options: argparse.Namespace) -> int:
    from broadcaster.air.outputs import devices

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


if __name__ == "__main__":
    sys.exit(main())
