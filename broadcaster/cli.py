"""The commands: each a few lines over a room. Heavy rooms are imported where they are needed."""

import argparse
import json
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path

from broadcaster import __version__
from broadcaster.errors import BroadcasterError, ScriptError, UsageError

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
    render.add_argument(
        "--seed", type=int, default=0, metavar="N", help="seed of static and fading"
    )
    _add_cache(render)

    air = _command(
        commands, "air", _air, "put a script on air", "air scripts/low-water.yaml --start"
    )
    air.add_argument("script", help="a script, or the name of one that ships")
    air.add_argument(
        "--output",
        default="auto",
        metavar="OUT",
        help="auto (default), silent, file:PATH, or a name from `broadcaster outputs`",
    )
    air.add_argument("--start", action="store_true", help="begin a session at once")
    air.add_argument("--for", dest="length", metavar="TIME", help="go off air after, say, `30s`")
    air.add_argument("--seed", type=int, default=0, metavar="N", help="seed of static and fading")
    air.add_argument("--no-console", action="store_true", help="print what happens, line by line")
    air.add_argument("--json", action="store_true", help="print it as JSON; implies --no-console")
    air.add_argument("--log", metavar="FILE", help="where the as-run log goes")
    _add_cache(air)

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
) -> argparse.ArgumentParser:
    parser = commands.add_parser(
        name,
        help=about,
        description=about.capitalize() + ".",
        epilog=f"example: broadcaster {example}",
    )
    parser.set_defaults(run=run)
    return parser


def _add_cache(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--cache", metavar="DIR", help="where spoken words are kept")


def _check(options: argparse.Namespace) -> int:
    from broadcaster.desk.checking import check_script

    report = check_script(options.script)
    print(json.dumps(report.as_record(), ensure_ascii=False) if options.json else report.as_text())
    return 1 if report.faults else 0


def _render(options: argparse.Namespace) -> int:
    from rich.progress import Progress

    from broadcaster.air.preparing import Preparing
    from broadcaster.desk.places import cache_folder
    from broadcaster.rehearsal.loop import render_loop
    from broadcaster.script.loading import load_programme
    from broadcaster.units import seconds_from_frames, session_clock

    programme = load_programme(options.script)
    preparing = Preparing(
        programme,
        cache_folder(options.cache),
        tell=lambda sentence: print(sentence, file=sys.stderr),
    )
    with (
        Progress(transient=True) as progress,
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
    print(f"{options.output}: {session_clock(seconds_from_frames(frames))} of {options.segment!r}.")
    return 0


def _air(options: argparse.Namespace) -> int:
    from broadcaster.desk.session import Wishes, put_on_air
    from broadcaster.script.values import seconds

    try:
        length_s = None if options.length is None else seconds(options.length)
    except ValueError as error:
        raise UsageError(f"--for: {error}") from error
    wishes = Wishes(
        script=options.script,
        output=options.output,
        start=options.start,
        length_s=length_s,
        seed=options.seed,
        cache=options.cache,
        log=options.log,
    )
    if options.no_console or options.json or not sys.stdout.isatty():
        from broadcaster.console.lines import lines, show_as_json, show_as_line

        put_on_air(wishes, lines(show_as_json if options.json else show_as_line))
    else:
        from broadcaster.console.watch import watch_on_screen

        put_on_air(wishes, watch_on_screen)
    return 0


def _voices(options: argparse.Namespace) -> int:
    from broadcaster.script.shelves import shipped_voices

    rows = {
        name: {"about": voice.about, "engine": voice.engine, "rate": voice.rate}
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
        "auto": {"about": "the first sound device that opens, else silent"},
        "silent": {"about": "no sound: paced by the clock"},
        "file:PATH": {"about": "a WAV file, written as it goes out"},
    }
    rows |= {device.name: {"about": f"a device of {device.system}"} for device in devices()}
    return _list(rows, options)


def _list(rows: Mapping[str, Mapping[str, object]], options: argparse.Namespace) -> int:
    """A table of names, or one JSON object."""
    if options.json:
        print(json.dumps(rows, ensure_ascii=False))
        return 0
    from rich.console import Console
    from rich.table import Table

    table = Table(box=None, pad_edge=False)
    for column in ("name", *next(iter(rows.values()), {})):
        table.add_column(column)
    for name, row in rows.items():
        table.add_row(name, *(str(value) for value in row.values()))
    Console().print(table)
    return 0


if __name__ == "__main__":
    sys.exit(main())
