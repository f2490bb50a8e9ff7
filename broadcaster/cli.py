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
PIPE_COLUMNS = 200
"""Width of a list that goes to another program, which is to find each row on one line."""
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

    check = _command(
        commands, "check", _check, "find every fault in a script", "check scripts/low-water.yaml"
    )
    check.add_argument("script", help="a script, or the name of one that ships")
    check.add_argument("--json", action="store_true", help="print one JSON object")

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
    """What every command that makes sound can be told."""
    parser.add_argument(
        "--seed", type=int, default=0, metavar="N", help="another N, other static and fading"
    )
    parser.add_argument(
        "--cache", metavar="DIR", help="where spoken words are kept; else your own cache folder"
    )


def _check(options: argparse.Namespace) -> int:
    from broadcaster.desk.checking import check_script

    report = check_script(options.script)
    print(json.dumps(report.as_record(), ensure_ascii=False) if options.json else report.as_text())
    return 1 if report.faults else 0


def _render(options: argparse.Namespace) -> int:
    from rich.console import Console
    from rich.progress import Progress

    from broadcaster.air.preparing import Preparing
    from broadcaster.desk.checking import faultless_programme
    from broadcaster.desk.places import cache_folder
    from broadcaster.rehearsal.loop import render_loop
    from broadcaster.units import seconds_from_frames, session_clock

    programme = faultless_programme(options.script)
    preparing = Preparing(
        programme,
        cache_folder(options.cache),
        tell=lambda sentence: print(sentence, file=sys.stderr),
    )
    with (
        Progress(
            console=Console(stderr=True), transient=True, disable=not sys.stderr.isatty()
        ) as progress,
        preparing as items,
    ):
        task = progress.add_task(f"Rendering {options.segment}", total=None)
        frames = render_loop(
            programme,
            options.segment,
            Path(options.output),
            items,
            seed=options.seed,
            progress=lambda done, total: progress.update(task, completed=done, total=total),
        )
    length = session_clock(seconds_from_frames(frames))
    print(f"{options.output}: a round of {options.segment!r}, {length} long, to be looped.")
    return 0


def _air(options: argparse.Namespace) -> int:
    from broadcaster.console.watch import watch_in_lines, watch_on_screen
    from broadcaster.desk.session import Wishes, put_on_air
    from broadcaster.script.durations import seconds_of

    try:
        length_s = None if options.length is None else seconds_of(options.length)
    except ValueError as error:
        raise UsageError(f"--for: {error}") from error
    if length_s == 0:
        raise UsageError("--for: a broadcast takes some time; leave it out to go on until told.")
    wishes = Wishes(
        script=options.script,
        output=options.output,
        start=options.start,
        length_s=length_s,
        seed=options.seed,
        cache=options.cache,
        log=options.log,
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
        name: {"about": voice.about, "engine": voice.engine, "wpm": voice.rate}
        for name, voice in shipped_voices().items()
    }
    return _list(rows, options)


def _sounds(options: argparse.Namespace) -> int:
    from broadcaster.script.shelves import shipped_sounds

    return _list(
        {name: {"about": sound.about} for name, sound in shipped_sounds().items()}, options
    )


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
        return 0
    from rich.console import Console
    from rich.table import Table

    table = Table(box=None, pad_edge=False)
    table.add_column("name", no_wrap=True)
    for column in next(iter(rows.values()), {}):
        table.add_column(column)
    for name, row in rows.items():
        table.add_row(name, *(str(value) for value in row.values()))
    Console(width=None if sys.stdout.isatty() else PIPE_COLUMNS).print(table)
    return 0


if __name__ == "__main__":
    sys.exit(main())
