"""A folder of scripts with one flaw each, and the one line that a writer is told.

A line of expected.txt begins with a star where an editor that uses the schema sees the flaw too,
and names the script before an arrow where the flaw is in a file that the script includes.
"""

import re
import shutil
from pathlib import Path

import jsonschema
import pytest
import yaml

from broadcaster.errors import ScriptError
from broadcaster.script.loading import examine, load_programme
from broadcaster.script.schema import script_schema

FLAWED = Path(__file__).parent / "flawed"
LINE = re.compile(r"(?P<seen>\* )?(?:(?P<includer>\S+) -> )?(?P<told>(?P<file>[^:]+):.*)")
EXPECTED = [
    (found["includer"] or found["file"], found["told"], bool(found["seen"]))
    for found in map(LINE.fullmatch, (FLAWED / "expected.txt").read_text("utf-8").splitlines())
]


@pytest.mark.parametrize(("script", "told", "_"), EXPECTED, ids=lambda value: value)
def test_one_flaw_is_one_line(script, told, _, monkeypatch):
    """Each flaw is named once, where it stands, with what was found and how to mend it."""
    monkeypatch.chdir(FLAWED)
    assert [str(fault) for fault in examine(script).faults] == [told]
    with pytest.raises(ScriptError) as refused:
        load_programme(script)
    assert str(refused.value) == told
    assert refused.value.exit_code == 1


def test_every_flawed_script_is_expected():
    """No script in the folder is forgotten."""
    assert sorted(path.name for path in FLAWED.glob("*.yaml")) == sorted(
        script for script, _, _ in EXPECTED
    )


def test_an_editor_sees_what_a_schema_can_catch():
    """An independent validator refuses what is marked, as a YAML 1.1 parser reads it."""
    validator = jsonschema.Draft7Validator(script_schema())
    passed = [
        script
        for script, _, seen in EXPECTED
        if seen and validator.is_valid(yaml.safe_load((FLAWED / script).read_text("utf-8")))
    ]
    assert passed == []
    assert sum(seen for _, _, seen in EXPECTED) > 60


def test_a_link_does_not_lead_out_of_the_folder(tmp_path, monkeypatch):
    """A clip may be a link, but only to a file in the script's folder."""
    folder = tmp_path / "show"
    folder.mkdir()
    (tmp_path / "bell.wav").write_bytes(b"")
    (folder / "bell.wav").symlink_to(tmp_path / "bell.wav")
    (folder / "here.wav").write_bytes(b"")
    (folder / "there.wav").symlink_to(folder / "here.wav")
    text = (FLAWED / "clip-missing.yaml").read_text(encoding="utf-8")
    monkeypatch.chdir(folder)
    for clip, said in (("bell.wav", ["`bell.wav` lies outside"]), ("there.wav", [])):
        Path("show.yaml").write_text(text.replace("clips/bel.wav", clip), encoding="utf-8")
        faults = [str(fault) for fault in examine("show.yaml").faults]
        assert len(faults) == len(said)
        assert all(each in fault for each, fault in zip(said, faults, strict=True))


def test_a_voice_beside_the_script_wins(tmp_path):
    """A profile in the folder `voices` is used before a shipped one, and its faults are told."""
    voices = tmp_path / "voices"
    voices.mkdir()
    script = tmp_path / "show.yaml"
    shutil.copy(FLAWED / "unknown-voice.yaml", script)
    (voices / "keper.yaml").write_text("about: One of ours.\nrate: 100\n", encoding="utf-8")
    assert load_programme(script).cast["keper"].rate == 100
    (voices / "keper.yaml").write_text("about: One of ours.\nrate: 20\n", encoding="utf-8")
    (fault,) = examine(script).faults
    assert str(fault) == f"{voices / 'keper.yaml'}:2:7: `rate` is `20`. It can be from 80 to 450."


def test_an_entry_of_a_list_is_spoken_of_as_one(tmp_path):
    """What an exit lacks is not lacking in the list of exits."""
    script = tmp_path / "show.yaml"
    text = (FLAWED / "exit-to-nowhere.yaml").read_text(encoding="utf-8")
    script.write_text(text.replace("        to: ende\n", "      - to:\n      - end\n"), "utf-8")
    assert [str(fault).removeprefix(f"{script}:") for fault in examine(script).faults] == [
        "16:9: This entry of `exits` lacks `to`. Add `to: ...`.",
        "17:9: Nothing stands behind `to`. Write it, or take the key out.",
        "18:9: This entry of `exits` is a single value, where a set of keys should be. "
        "Write its keys below it, indented, each as `key: value`.",
    ]


def test_what_cannot_be_read_hides_nothing_and_brings_nothing_about(tmp_path):
    """An alias for a text is one fault; an unknown key with one inside is a second."""
    script = tmp_path / "show.yaml"
    text = (FLAWED / "alias.yaml").read_text(encoding="utf-8")
    script.write_text(text.replace("opening:", "extra: {a: *b}\nopening:"), encoding="utf-8")
    assert [str(fault).removeprefix(f"{script}:")[:40] for fault in examine(script).faults] == [
        "6:1: `extra` is not known here. Known: `",
        "6:12: `*b` is an alias, which a script c",
        "16:14: `*us` is an alias, which a script",
    ]


def test_a_name_that_no_fact_can_have_is_not_suggested(tmp_path):
    """It is told of where the fact is declared, and who writes it in a text is told a good one."""
    script = tmp_path / "show.yaml"
    text = (FLAWED / "fact-with-a-space-used-without.yaml").read_text(encoding="utf-8")
    script.write_text(text.replace("calling.", "calling. {lamp lit}"), encoding="utf-8")
    declared, used = (str(fault) for fault in examine(script).faults)
    assert declared.endswith("begin with a letter: `lamp_lit`.")
    assert used.endswith("There is no fact `lamp lit`. Did you mean `lamp_lit`?")
