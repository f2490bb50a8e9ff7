"""What can be typed: the commands, their options, and a line of help for each."""

import argparse
from collections.abc import Callable, Mapping
from typing import TypeAlias

from broadcaster import __version__

Run: TypeAlias = Callable[[argparse.Namespace], int]
"""A command: takes what was typed, gives its exit code."""
_Commands: TypeAlias = "argparse._SubParsersAction[argparse.ArgumentParser]"

ON_AIR = """
The station goes on when this command dies, and the same command finds it again. What takes it off
air is Ctrl+Q at the console, or Ctrl-C where there is none.

"""
CAUTION = """\
Transmitters: even a tiny FM transmitter needs to be of a kind that is licence-exempt where you
are, on a frequency that your local rules allow; when in doubt ask the authority or a licensed
engineer. A broadcast is part of a game: it is never the venue's alarm or evacuation system."""
SCRIPT = "a script, or the name of one that ships"
SETTINGS = (
    "the venue's settings; else station.yaml beside the script (for one that ships: in this "
    "folder), or in your configuration folder"
)


def parser(runs: Mapping[str, Run]) -> argparse.ArgumentParser:
    """The parser of the command line. `runs`: what each command does, by its name."""
    whole = argparse.ArgumentParser(
        prog="broadcaster",
        description="A radio station for an escape room: one script in, one gapless broadcast out.",
        epilog=CAUTION,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    whole.add_argument("--version", action="version", version=__version__)
    commands = whole.add_subparsers(title="commands", required=True, metavar="COMMAND")
    for add in (
        _add_new,
        _add_check,
        _add_render,
        _add_rehearse,
        _add_picture,
        _add_air,
        _add_venue,
    ):
        add(commands)
    _add_console(commands)
    _add_lists(commands)
    _add_bank(commands)
    about = "print the JSON Schema of a script, for editors"
    schema = _command(commands, "schema", about, "schema > script.schema.json")
    schema.add_argument("--settings", action="store_true", help="of a station.yaml instead")
    manual = _command(commands, "manual", "show a page of the manual", "manual room")
    manual.add_argument("topic", nargs="?", help="a page; without one, a list of them")
    for name, command in commands.choices.items():
        command.set_defaults(run=runs[name])
    return whole


def _add_new(commands: _Commands) -> None:
    new = _command(commands, "new", "write a starter show to change", "new night-flower")
    new.add_argument("folder", metavar="DIR", help="a folder that is new, or empty")


def _add_check(commands: _Commands) -> None:
    check = _command(
        commands, "check", "find every fault in a script", "check scripts/low-water.yaml"
    )
    check.add_argument("script", help=SCRIPT)
    check.add_argument("--json", action="store_true", help="print one JSON object")
    check.add_argument(
        "--clues", action="store_true", help="tell how long whoever tunes in waits for each clue"
    )
    check.add_argument(
        "--sound", action="store_true", help="listen to each clue, and tell how readable it is"
    )
    _add_settings(check)
    _add_cache(check)


def _add_render(commands: _Commands) -> None:
    render = _command(
        commands,
        "render",
        "write a segment as a loop file for a stand-alone player",
        "render scripts/low-water.yaml --segment watch -o watch.wav",
    )
    render.add_argument("script", help=SCRIPT)
    render.add_argument("--segment", required=True, metavar="NAME", help="the segment to loop")
    render.add_argument("-o", "--output", required=True, metavar="FILE", help="a WAV file to write")
    _add_common(render)


def _add_rehearse(commands: _Commands) -> None:
    rehearse = _command(
        commands,
        "rehearse",
        "run a whole session at once, without an output",
        "rehearse scripts/low-water.yaml --events team.yaml --picture session.svg",
    )
    rehearse.add_argument("script", help=SCRIPT)
    rehearse.add_argument("--events", metavar="FILE", help="what room and operator do, and when")
    rehearse.add_argument("--for", dest="length", metavar="TIME", help="only the first, say, `30s`")
    rehearse.add_argument("--audio", metavar="FILE", help="a WAV file to write")
    rehearse.add_argument("--picture", metavar="FILE", help="an SVG file to write")
    rehearse.add_argument("--log", metavar="FILE", help="an as-run log to write")
    rehearse.add_argument("--json", action="store_true", help="print the as-run log as JSON lines")
    rehearse.add_argument("--teams", type=int, metavar="N", help="play so many random teams")
    rehearse.add_argument("--workers", type=int, metavar="N", help="processes that play teams")
    _add_common(rehearse)


def _add_picture(commands: _Commands) -> None:
    picture = _command(
        commands,
        "picture",
        "draw the story: segments, exits, clues",
        "picture scripts/low-water.yaml -o story.svg",
    )
    picture.add_argument("script", help=SCRIPT)
    picture.add_argument("-o", "--output", required=True, metavar="FILE", help="an SVG file")


def _add_air(commands: _Commands) -> None:
    air = _command(
        commands,
        "air",
        "put a script on air, or several",
        "air scripts/low-water.yaml --start",
        ON_AIR + CAUTION,
    )
    air.add_argument(
        "scripts", nargs="+", metavar="SCRIPT", help=f"{SCRIPT}; several: a station for each"
    )
    air.add_argument(
        "--output",
        action="append",
        default=[],
        metavar="OUT",
        help="auto (default), silent, file:PATH, or a name from `broadcaster outputs`; behind it "
        "`, left` or `, right` for one side alone; SCRIPT=OUT for one of several scripts",
    )
    air.add_argument(
        "--monitor", metavar="OUT", help="headphones, where an announcement is heard beforehand"
    )
    air.add_argument("--start", action="store_true", help="begin a session at once")
    air.add_argument(
        "--for", dest="length", metavar="TIME", help="go off air after so long: 30s, 2h"
    )
    air.add_argument("--events", metavar="FILE", help="what happens in the session, and when")
    air.add_argument(
        "--settings",
        action="append",
        default=[],
        metavar="FILE",
        help=f"{SETTINGS}; SCRIPT=FILE for one of several scripts",
    )
    air.add_argument(
        "--plain", action="store_true", help="the console as lines: for a screen reader, or a pipe"
    )
    air.add_argument("--no-console", action="store_true", help="print what happens, line by line")
    air.add_argument("--json", action="store_true", help="print it as JSON; implies --no-console")
    air.add_argument(
        "--log",
        metavar="FILE",
        help="the as-run log; else one in your own state folder; of several scripts, its folder",
    )
    _add_common(air)


def _add_console(commands: _Commands) -> None:
    console = _command(
        commands,
        "console",
        "show a recorded session on the console, for training",
        "console heron.jsonl --script scripts/low-water.yaml --speed 4",
    )
    console.add_argument("log", metavar="LOG", help="an as-run log, as `air --log` writes it")
    console.add_argument("--script", metavar="SCRIPT", help="its script, for all that it tells")
    console.add_argument(
        "--speed", type=float, default=1.0, metavar="N", help="so many times as fast; default 1"
    )


def _add_venue(commands: _Commands) -> None:
    venue = _command(
        commands,
        "venue",
        "list all stations on a broker, and operate any of them",
        "venue --broker desk.example --tls authority.pem --user keeper --password-file word",
        " They are listed if their settings have `mqtt:`. Leaving takes none of them off air.",
    )
    venue.add_argument("--broker", required=True, metavar="HOST[:PORT]", help="where the broker is")
    venue.add_argument(
        "--tls",
        nargs="?",
        const="",
        metavar="CA",
        help="encrypt the line; CA: who vouches for the broker, if not whom this machine trusts",
    )
    venue.add_argument("--user", metavar="NAME", help="as whom to log in")
    secret = venue.add_mutually_exclusive_group()
    secret.add_argument("--password-file", metavar="FILE", help="its first line is the password")
    secret.add_argument("--password-from", metavar="VARIABLE", help="or this variable holds it")
    venue.add_argument(
        "--venue", default="venue", metavar="NAME", help="the first level of the topics (venue)"
    )
    venue.add_argument(
        "--protocol", default="5", choices=("5", "3.1.1"), help="the version of MQTT (5)"
    )
    venue.add_argument("--station", metavar="NAME", help="operate this one at once")
    venue.add_argument(
        "--plain", action="store_true", help="as lines: for a screen reader, or a pipe"
    )


def _add_lists(commands: _Commands) -> None:
    for name, about in (
        ("voices", "list the voices that ship, or those beside a script"),
        ("sounds", "list the period sounds that ship, or those of a script"),
        ("outputs", "list where a broadcast can go on this machine"),
    ):
        lister = _command(commands, name, about, name)
        lister.add_argument("--json", action="store_true", help="print one JSON object")
        if name != "outputs":
            lister.add_argument("script", nargs="?", help="a script, for those of its own")
        if name == "voices":
            lister.add_argument(
                "--engine",
                action="store_true",
                help="instead, all that `engine voice` can name in a voice file of your own",
            )
        if name == "sounds":
            lister.add_argument(
                "--picture",
                metavar="FILE",
                help="an SVG file to write instead: a spectrogram of each",
            )


def _add_bank(commands: _Commands) -> None:
    bank = _command(
        commands,
        "bank",
        "check a folder of recorded clips, and tell what it lacks",
        "bank voices/clock",
    )
    bank.add_argument(
        "folder", metavar="DIR", help="a folder with clips and a bank.yaml, or one that ships"
    )
    bank.add_argument("--json", action="store_true", help="print one JSON object")


def _command(
    commands: _Commands,
    name: str,
    about: str,
    example: str,
    more: str = "",
) -> argparse.ArgumentParser:
    return commands.add_parser(
        name,
        help=about,
        description=f"{about[:1].upper()}{about[1:]}.{more}",
        epilog=f"example: broadcaster {example}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )


def _add_common(parser: argparse.ArgumentParser) -> None:
    """What every command that makes a broadcast can be told."""
    parser.add_argument(
        "--seed", type=int, default=0, metavar="N", help="another N, other static and chance"
    )
    _add_cache(parser)


def _add_settings(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--settings",
        metavar="FILE",
        help=SETTINGS,
    )


def _add_cache(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--cache", metavar="DIR", help="where spoken words are kept; else your own cache folder"
    )
