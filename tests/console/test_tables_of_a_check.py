"""What `check` and `rehearse` print beside faults and tables."""

import json
from pathlib import Path

import pytest

from broadcaster.cli import main

SCRIPT = """\
programme: A watch
station: {callsign: Heron, frequency: 91.3 MHz, voice: keeper, signal: 4 + lamp}
opening: watch
facts: {lamp: no, crates: 0}
segments:
  watch:
    repeat: yes
    play:
      - {morse: REED, clue: reed}
      - {pause: 3 s, when: crates > 1}
    exits: [{to: end, when: session time > 3 min}]
"""
EVENTS = """\
- {at: 1 min, set: {lamp: yes, crates: 1}}
- {at: 5 min, set: {lamp: no, crates: 2}}
- {at: 6 min, say: Good night.}
"""


@pytest.fixture
def script(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The script in a folder where commands are typed."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    path = tmp_path / "watch.yaml"
    path.write_text(SCRIPT)
    (tmp_path / "team.yaml").write_text(EVENTS)
    return path


def test_no_empty_table_under_a_fault(script: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What could not be listened to or timed has no table, and no word on how to read it."""
    script.write_text(SCRIPT.replace("voice: keeper", "voice: nobody"))
    assert main(["check", "watch.yaml", "--clues", "--sound"]) == 1
    fault, summary = capsys.readouterr().out.splitlines()
    assert "There is no voice `nobody`." in fault
    assert summary == "watch.yaml: 1 fault."


def test_the_table_of_the_sound(script: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The signal at its strongest, and the grade at what it is at first; what passes is told."""
    assert main(["check", "watch.yaml", "--sound"]) == 0
    told = capsys.readouterr().out
    row = next(line.split() for line in told.splitlines() if "morse" in line)
    assert row[:3] == ["watch", "reed", "morse"]
    assert row[-4] == "5"
    assert row[-2:] == ["at", "4"]
    assert "Up to 0.25 under the clue floor pass" in " ".join(told.split())


def test_entries_that_come_too_late_are_counted(
    script: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """By entries of the events file: one that sets two facts is one."""
    assert main(["rehearse", "watch.yaml", "--events", "team.yaml"]) == 0
    assert capsys.readouterr().err.splitlines() == [
        "Of the events file's entries, 3 in all, 2 came after the end, and nothing came of it."
    ]


def test_what_the_engine_knows_is_listed(capsys: pytest.CaptureFixture[str]) -> None:
    """Each name that `engine voice` may have, and each variant that may stand behind it."""
    assert main(["voices", "--engine", "--json"]) == 0
    names = json.loads(capsys.readouterr().out)
    assert {"gmw/en", "gmw/de", "+m3", "+klatt3"} <= names.keys()
