"""Events files: what happens when, and every fault at its place."""

import pytest

from broadcaster.errors import ScriptError, UsageError
from broadcaster.script.events_file import read_events
from tests.rehearsal.make import night_watch

FLAWS = [
    ("at: 5 s\nset: {lamp: yes}", "1:1: An events file is a list. Begin each entry with"),
    ("- set: {lamp: yes}", "1:3: This entry of `events` lacks `at`."),
    ("- at: soon\n  end: yes", "1:7: `soon` is not a duration."),
    ("- at: 3 s", "1:3: This entry does not say what happens. Add one of `set`, `jump`,"),
    ("- at: 3 s\n  end: yes\n  hint: next", "3:3: `end` and `hint` both say what happens."),
    ("- at: 3 s\n  jump: ligth", "2:9: There is no segment `ligth`. Did you mean `light`?"),
    ("- at: 3 s\n  jump: light\n  timing: soon", "3:11: `timing` cannot be `soon`. Known:"),
    ("- at: 3 s\n  end: yes\n  timing: now", "3:3: `timing` belongs to `jump`,"),
    ("- at: 3 s\n  signal: 5.5", "2:11: `5.5` is not on the scale. Write a number from 0 to 5,"),
    (
        "- at: 3 s\n  readability: 0",
        "2:16: `0` is not on the scale. Write a number from 1 to 5, or",
    ),
    ("- at: 3 s\n  signal: weak", "2:11: `weak` is not on the scale."),
    ("- at: 3 s\n  signal:", "2:3: Nothing stands behind `signal`. Write a number from 0 to 5"),
    ("- at: 3 s\n  end: yes\n  transition: fade", "3:3: `transition` belongs to `jump`,"),
    ("- at: 3 s\n  jump: light\n  transition: fad", "3:15: `transition` cannot be `fad`. Did"),
    ("- at: 3 s\n  set: {}", "2:8: `set` changes nothing."),
    ("- at: 3 s\n  set: {lmap: yes}", "2:9: There is no fact `lmap`. Did you mean `lamp`?"),
    ("- at: 3 s\n  set: {lamp: 3}", "2:15: `lamp` cannot be set: `3` is neither `yes` nor"),
    ("- at: 3 s\n  set: {crates: 5}", "2:17: `crates` cannot be set: `5` is outside its bounds."),
    ("- at: 3 s\n  hint: last", "2:9: `hint` cannot be `last`. Known: `next`."),
    ("- at: 3 s\n  hold: no", "2:9: `hold` cannot be `no`. Known: `yes`."),
    ('- at: 3 s\n  say: "..."', "2:9: There is nothing to speak here."),
    ("- at: 3 s\n  shout: hello\n  end: yes", "2:3: `shout` is not known here."),
]


@pytest.mark.parametrize(("text", "told"), FLAWS)
def test_one_flaw_is_one_line(text, told, tmp_path):
    """File, line, column, what was found, and how to mend it."""
    path = tmp_path / "team.yaml"
    path.write_text(text)
    with pytest.raises(ScriptError) as refused:
        read_events(path, night_watch())
    (fault,) = refused.value.faults
    assert str(fault).startswith(f"{path}:{told}")


def test_all_flaws_are_told_at_once(tmp_path):
    """Two entries, two faults, in the order of their places."""
    path = tmp_path / "team.yaml"
    path.write_text("- at: 3 s\n  jump: nowhere\n- at: 4 s\n  set: {lamp: maybe}\n")
    with pytest.raises(ScriptError) as refused:
        read_events(path, night_watch())
    assert [fault.place.line for fault in refused.value.faults] == [2, 4]


def test_a_file_that_is_not_there_is_wrong_usage(tmp_path):
    """The sentence names it."""
    with pytest.raises(UsageError, match="There is no file"):
        read_events(tmp_path / "gone.yaml", night_watch())
