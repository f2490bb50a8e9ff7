"""What the README shows is true: its script, its commands, its tables and its picture."""

import json
import re
import shlex
from dataclasses import fields
from pathlib import Path
from typing import get_args
from xml.etree import ElementTree

import pytest

from broadcaster.cli import RUNS, main
from broadcaster.command_line import parser
from broadcaster.errors import ScriptError, StationError, UsageError
from broadcaster.record.asrun import PASSING
from broadcaster.script.annotations import opened
from broadcaster.script.condition_tree import CLOCKS, COUNTS
from broadcaster.script.events_file import EventEntry, read_events
from broadcaster.script.forms import Form
from broadcaster.script.loading import examine
from broadcaster.script.profiles import VoiceProfile
from broadcaster.script.programme import ITEM_KINDS, Groups, IntervalSignal, Item
from broadcaster.script.tree import read_tree
from broadcaster.story.events import ItemAired, OutEvent

TOP = Path(__file__).parents[2]
README = (TOP / "README.md").read_text(encoding="utf-8")
LINES = README.splitlines()
TOLD = " ".join(README.split())
"""The README in one line: a name in it may be broken over two."""
COMMANDS = sorted(
    set(re.findall(r"^ {4}(?:.*\.venv/bin/)?broadcaster (.+)$", README, re.MULTILINE))
    | set(re.findall(r"`broadcaster (\w[^`]*)`", README))
)
COMMON = set(Item.model_fields)
SCRIPT, EVENTS = re.findall(r"```yaml\n(.*?)```", README, re.DOTALL)
LIVE = ("air", "console", "outputs", "venue")
"""Commands that need a sound device, a screen, a broker or real time."""


def table(first_cell: str) -> dict[str, list[str]]:
    """A table of the README by its first column, found by the head of that column."""
    start = next(n for n, line in enumerate(LINES) if line.startswith(f"| {first_cell} |")) + 2
    rows: dict[str, list[str]] = {}
    for line in LINES[start:]:
        if not line.startswith("|"):
            break
        first, *others = (cell.strip() for cell in line.strip("|").split(" | "))
        rows[first.strip("`")] = others
    return rows


@pytest.fixture
def show(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The README's files, in a folder where commands are typed."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    (tmp_path / "night-watch.yaml").write_text(SCRIPT, encoding="utf-8")
    (tmp_path / "team.yaml").write_text(EVENTS, encoding="utf-8")
    return tmp_path


def test_the_script_has_no_fault(show: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The example can be put on air as it stands: all is proved, and no advice is due."""
    assert main(["check", "night-watch.yaml"]) == 0
    (summary,) = capsys.readouterr().out.splitlines()
    assert summary.startswith("night-watch.yaml: no faults in 'Night Watch'")


def test_the_events_happen(show: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The reader takes the events file, and in a rehearsal each of its entries is obeyed."""
    programme = examine(show / "night-watch.yaml").programme
    assert programme
    assert len(read_events(show / "team.yaml", programme)) == len(EVENTS.splitlines())
    assert main(["rehearse", "night-watch.yaml", "--events", "team.yaml", "--json"]) == 0
    told = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    kinds = [record["event"] for record in told]
    assert {"held", "resumed", "stalled", "milestone met", "session ended"} <= set(kinds)
    assert {"refused", "trouble"}.isdisjoint(kinds)
    whys = [record["why"] for record in told if record["event"] == "hint given"]
    assert whys == ["stalled", "the operator"]
    parts = {record["part"] for record in told if record["event"] == "item aired"}
    assert all(f"`{part}`" in TOLD for part in parts | {"timetable", "transition", "plain voice"})
    assert {"running order", "hint", "announcement"} <= parts


def test_what_an_event_can_be() -> None:
    """Every key of an entry in an events file is told of."""
    keys = [name.replace("_", " ") for name in EventEntry.model_fields]
    assert [key for key in keys if f"`{key}`" not in TOLD] == []


def test_reception_can_be_written(show: Path) -> None:
    """The lines for readability, signal and transition fit the script, and so do other keys."""
    (block,) = re.findall(r"```\nstation:\n  sound: [^\n]*\n(.*?)```", README, re.DOTALL)
    (pre_emphasis,) = re.findall(r"`(pre emphasis: 75 us)`", README)
    (phrases,) = re.findall(r"`(phrases: [^`]+)`", README)
    sound = "  sound: coastal 1958\n"
    path = show / "night-watch.yaml"
    script = SCRIPT.replace(sound, f"{sound}{block}  {pre_emphasis}\n")
    path.write_text(f"{phrases}\n{script}clue floor: 3\n", encoding="utf-8")
    examination = examine(path)
    assert (examination.faults, examination.advice) == ((), ())
    assert examination.programme
    assert examination.programme.station.transition == "static burst"


def test_shared_parts_can_be_included(show: Path) -> None:
    """The line for `include` brings in what stands in the file beside the script."""
    (line,) = set(re.findall(r"`(include: [^`]+)`", TOLD))
    segments, timetable = SCRIPT.index("  adrift:"), SCRIPT.index("timetable:")
    shared = "segments:\n" + SCRIPT[segments:timetable]
    (show / "shared.yaml").write_text(shared, encoding="utf-8")
    path = show / "night-watch.yaml"
    path.write_text(f"{line}\n{SCRIPT[:segments]}{SCRIPT[timetable:]}", encoding="utf-8")
    examination = examine(path)
    assert (examination.faults, examination.advice) == ((), ())


def test_the_trap(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """The way into a trap is told as it is shown."""
    monkeypatch.chdir(TOP / "tests" / "rehearsal")
    assert main(["check", "the-trap.yaml"]) == 1
    trap = next(line for line in capsys.readouterr().out.splitlines() if "get stuck" in line)
    assert trap in TOLD


@pytest.mark.parametrize("command", [c for c in COMMANDS if c.split()[0] not in LIVE])
def test_a_command_does_its_work(command: str, show: Path) -> None:
    """What is typed as it stands here ends well; some teams stand for a thousand."""
    words = shlex.split(command.replace("--teams 1000", "--teams 3"))
    assert main(words) == 0
    named = [word for word in words if word.endswith((".svg", ".wav"))]
    assert all((show / name).stat().st_size for name in named)


@pytest.mark.parametrize("command", COMMANDS)
def test_a_command_can_be_typed(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Commands and options are those of the program."""
    code: object = 0
    try:
        parser(RUNS).parse_args(shlex.split(command))
    except SystemExit as end:  # as --help does
        code = end.code
    assert code == 0, capsys.readouterr().err


def test_every_command_is_told_of() -> None:
    """There is no command that the README keeps to itself."""
    assert {command.split()[0] for command in COMMANDS} == set(RUNS)


def test_two_commands_set_everything_up() -> None:
    """Each starts from a bare Python, and they stand in front of all else."""
    demo, tests = [line.strip() for line in LINES if "python3 -m venv" in line]
    assert demo.endswith(".venv/bin/broadcaster air scripts/low-water.yaml --start")
    assert tests.endswith(".venv/bin/pytest")
    first = next(n for n, line in enumerate(LINES) if line.startswith("## "))
    assert all(f"    {command}" in LINES[:first] for command in (demo, tests))


def test_items_and_their_options() -> None:
    """The table has each kind of item with all the options that are its own."""
    rows = table("item")
    assert list(rows) == list(ITEM_KINDS)
    for kind, form in ITEM_KINDS.items():
        own = set(form.model_fields) - COMMON - {kind.replace(" ", "_")}
        keys = {(form.model_fields[name].alias or name).replace("_", " ") for name in own}
        assert set(re.findall(r"`([^`]+)`", rows[kind][1])) == keys
    for name in COMMON:
        assert f"`{name}`" in README


def test_words_that_options_take() -> None:
    """Instruments, ways with figures and fallbacks are told by their names."""
    for form, name in ((IntervalSignal, "instrument"), (Groups, "figures"), (Groups, "readings")):
        assert [word for word in choices(form, name) if f"`{word}`" not in TOLD] == []
    assert f"`fallback: {choices(VoiceProfile, 'fallback')[0]}`" in TOLD


def choices(form: type[Form], name: str) -> tuple[str, ...]:
    """The words that can stand behind a key."""
    words: tuple[str, ...] = get_args(opened(form.model_fields[name].annotation)[0])
    return words


def test_a_comma_in_braces() -> None:
    """The item in braces is read, and is refused without its quotes."""
    (item,) = re.findall(r"`(\{say: [^`]+\})`", TOLD)
    assert read_tree(item, TOP)[1] == []
    assert len(read_tree(item.replace('"', ""), TOP)[1]) == 1


def test_words_of_conditions() -> None:
    """Every named time and count is explained."""
    for name in (*CLOCKS, *COUNTS):
        assert f"`{name}`" in README


def test_the_log() -> None:
    """The line shown has the fields of an entry, and each event that is kept is named."""
    (line,) = [line for line in LINES if line.startswith('    {"event"')]
    assert list(json.loads(line)) == ["event", *(field.name for field in fields(ItemAired))]
    for event in set(get_args(OutEvent)) - set(PASSING):
        words = re.sub(r"(?<=.)([A-Z])", r" \1", event.__name__).lower()
        assert f"`{words}`" in TOLD


def test_exit_codes() -> None:
    """They are those of the errors."""
    codes = [error.exit_code for error in (ScriptError, UsageError, StationError)]
    assert list(table("code")) == [str(code) for code in (0, *codes)]


def test_the_picture_and_the_links_are_there() -> None:
    """What the README points to exists, and its picture is a whole SVG."""
    pointed_to = re.findall(r"\]\(([^):]+)\)", README)
    assert all((TOP / path).is_file() for path in pointed_to)
    (picture,) = [path for path in pointed_to if path.endswith(".svg")]
    assert ElementTree.parse(TOP / picture).getroot().tag.endswith("svg")
