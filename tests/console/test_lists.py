"""The lists of voices and sounds: those that ship, or those of a script's own."""

import json
from pathlib import Path
from typing import Any

import pytest

from broadcaster.cli import main
from broadcaster.errors import UsageError
from broadcaster.script.shelves import shipped_sounds, shipped_voices

SCRIPT = """\
programme: A test
station: {callsign: Heron, frequency: 91.3 MHz, voice: keeper}
opening: watch
segments: {watch: {repeat: yes, play: [{say: Heron calling.}]}}
"""
OWN_SOUND = "sounds: {our set: {about: In the parlour., processors: [{hiss: -40 dB}]}}\n"
OWN_VOICE = "about: The foreman.\nlanguage: de\nengine voice: gmw/de\n"


@pytest.fixture
def script(tmp_path: Path) -> str:
    """The path of a script with a voice and a sound of its own."""
    path = tmp_path / "show.yaml"
    path.write_text(SCRIPT + OWN_SOUND, "utf-8")
    (tmp_path / "voices").mkdir()
    (tmp_path / "voices" / "foreman.yaml").write_text(OWN_VOICE, "utf-8")
    return str(path)


def listed(capsys: pytest.CaptureFixture[str], *command: str) -> dict[str, Any]:
    """What a command lists."""
    assert main([*command, "--json"]) == 0
    rows: dict[str, Any] = json.loads(capsys.readouterr().out)
    return rows


def test_what_ships(capsys: pytest.CaptureFixture[str]) -> None:
    """Without a script, all that ships is listed."""
    assert set(listed(capsys, "voices")) == set(shipped_voices())
    assert set(listed(capsys, "sounds")) == set(shipped_sounds())


def test_what_is_of_a_script(script: str, capsys: pytest.CaptureFixture[str]) -> None:
    """With one, its own, with what they are."""
    assert listed(capsys, "voices", script) == {
        "foreman": {"about": "The foreman.", "language": "de", "engine": "espeak", "wpm": 150}
    }
    assert listed(capsys, "sounds", script) == {"our set": {"about": "In the parlour."}}


def test_a_script_with_nothing_of_its_own(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """It is told, and where it would be written."""
    script = tmp_path / "show.yaml"
    script.write_text(SCRIPT, "utf-8")
    assert main(["voices", str(script)]) == UsageError.exit_code
    assert "as a file `voices/NAME.yaml`" in capsys.readouterr().err
    assert main(["sounds", str(script)]) == UsageError.exit_code
    assert "below `sounds:`" in capsys.readouterr().err


def test_a_picture_of_them(script: str, tmp_path: Path) -> None:
    """A script's own sounds are drawn, and no others."""
    picture = tmp_path / "sounds.svg"
    assert main(["sounds", script, "--picture", str(picture)]) == 0
    drawn = picture.read_text("utf-8")
    assert ">our set<" in drawn
    assert ">clean<" not in drawn
