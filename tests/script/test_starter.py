"""The starter show, and the two commands that hand out files to begin with."""

import jsonschema
import pytest
import yaml

from broadcaster.cli import main
from broadcaster.errors import UsageError
from broadcaster.script.items import Choose, SetFacts
from broadcaster.script.loading import examine
from broadcaster.script.schema import STORED, script_schema
from broadcaster.script.starter import SCHEMA, SCRIPT, write_starter


def test_a_starter_is_sound(tmp_path):
    """It has no fault and draws no advice, and shows what the language can do."""
    examination = examine(write_starter(tmp_path / "shows" / "night flower"))
    assert (examination.faults, examination.advice) == ((), ())
    programme = examination.programme
    assert 3 <= len(programme.segments) <= 4
    assert programme.milestones
    assert programme.timetable
    segments = programme.segments.values()
    assert any(segment.hints and segment.automatic_hints for segment in segments)
    items = [item for segment in segments for item in segment.play]
    assert any(item.clue for item in items)
    assert {Choose, SetFacts} <= {type(item) for item in items}


def test_an_editor_finds_the_schema(tmp_path):
    """The script's first line names the schema beside it, by which the script is valid."""
    script = write_starter(tmp_path)
    text = script.read_text(encoding="utf-8")
    assert text.splitlines()[0] == f"# yaml-language-server: $schema={SCHEMA}"
    assert (tmp_path / SCHEMA).read_bytes() == STORED.read_bytes()
    assert jsonschema.Draft7Validator(script_schema()).is_valid(yaml.safe_load(text))


def test_nothing_is_overwritten(tmp_path):
    """A folder that is not empty is refused, and so is a file."""
    (tmp_path / "notes").write_text("mine")
    for folder in (tmp_path, tmp_path / "notes", tmp_path / "notes" / "new"):
        with pytest.raises(UsageError) as refused:
            write_starter(folder)
        assert refused.value.exit_code == 2
    assert [path.name for path in tmp_path.iterdir()] == ["notes"]


def test_the_commands_say_where_to_go_on(tmp_path, capsys):
    """`new` names the script and the next command; a second time it is wrong usage."""
    assert main(["new", str(tmp_path / "show")]) == 0
    assert f"broadcaster check {tmp_path / 'show' / SCRIPT}" in capsys.readouterr().out
    assert main(["new", str(tmp_path / "show")]) == 2
    assert "is not empty" in capsys.readouterr().err


def test_schema_prints_the_schema(capsys):
    """What is printed is what is stored."""
    assert main(["schema"]) == 0
    assert capsys.readouterr().out == STORED.read_text(encoding="utf-8")
