"""What the README shows is true: its script, its commands, its tables and its picture."""

import json
import re
import shlex
from dataclasses import fields
from pathlib import Path
from typing import get_args
from xml.etree import ElementTree

import pytest

from broadcaster.cli import _parser
from broadcaster.errors import ScriptError, StationError, UsageError
from broadcaster.script.condition_tree import CLOCKS, COUNTS
from broadcaster.script.loading import examine
from broadcaster.script.programme import ITEM_KINDS, Item
from broadcaster.story.events import Coming, ItemAired, ItemStarted, OutEvent, OutputState

TOP = Path(__file__).parents[2]
README = (TOP / "README.md").read_text(encoding="utf-8")
LINES = README.splitlines()
COMMANDS = sorted(
    set(re.findall(r"^ {4}(?:.*\.venv/bin/)?broadcaster (.+)$", README, re.MULTILINE))
    | set(re.findall(r"`broadcaster (\w[^`]*)`", README))
)
COMMON = set(Item.model_fields)


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


def test_the_script_has_no_fault(tmp_path: Path) -> None:
    """The example can be put on air as it stands, and no advice is due."""
    (script,) = re.findall(r"```yaml\n(.*?)```", README, re.DOTALL)
    path = tmp_path / "night-watch.yaml"
    path.write_text(script, encoding="utf-8")
    examination = examine(path)
    assert (examination.faults, examination.advice) == ((), ())
    assert {item.kind for s in examination.programme.segments.values() for item in s.play} > {"say"}


@pytest.mark.parametrize("command", COMMANDS)
def test_a_command_can_be_typed(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Commands and options are those of the program."""
    code: object = 0
    try:
        _parser().parse_args(shlex.split(command))
    except SystemExit as end:  # as --help does
        code = end.code
    assert code == 0, capsys.readouterr().err


def test_every_command_is_told_of() -> None:
    """There is no command that the README keeps to itself."""
    told = {command.split()[0] for command in COMMANDS}
    for command in ("check", "render", "air", "voices", "sounds", "outputs"):
        assert command in told


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


def test_words_of_conditions() -> None:
    """Every named time and count is explained."""
    for name in (*CLOCKS, *COUNTS):
        assert f"`{name}`" in README


def test_the_log() -> None:
    """The line shown has the fields of an entry, and each event that is kept is named."""
    (line,) = [line for line in LINES if line.startswith('    {"event"')]
    assert list(json.loads(line)) == ["event", *(field.name for field in fields(ItemAired))]
    told = " ".join(README.split())
    for event in set(get_args(OutEvent)) - {Coming, ItemStarted, OutputState}:
        words = re.sub(r"(?<=.)([A-Z])", r" \1", event.__name__).lower()
        assert f"`{words}`" in told


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
