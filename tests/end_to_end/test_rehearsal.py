"""A rehearsal tells what the station will do: the same events, the same log, frame by frame."""

import json
from pathlib import Path
from typing import Any

import pytest

from tests.end_to_end.run import DEMO, Home, Outcome

EVENTS = """
- at: 4 s
  set: {crates_open: 1}
- at: 9 s
  say: The keeper's office speaks.
- at: 14 s
  set: {gate_open: yes}
- at: 20 s
  jump: the gate
- at: 24 s
  hint: next
- at: 25 s
  resume: yes
- at: 26 s
  jump: stand easy
  timing: now
"""


@pytest.fixture(scope="module")
def rehearsed_and_aired(tmp_path_factory: pytest.TempPathFactory) -> tuple[Outcome, Outcome]:
    """One events file, rehearsed and then on air, with all that the rehearsal had made."""
    home = Home(tmp_path_factory.mktemp("one"))
    events = home.folder / "team.yaml"
    events.write_text(EVENTS)
    options = (DEMO, "--events", events, "--for", "30s", "--seed", 7, "--json")
    rehearsed = home.run("rehearse", *options, "--audio", home.folder / "session.wav")
    aired = home.run("air", *options, "--output", "silent", "--start")
    assert (rehearsed.code, rehearsed.errors, aired.code, aired.errors) == (0, "", 0, "")
    return rehearsed, aired


def test_the_items_are_the_same_on_the_same_frames(
    rehearsed_and_aired: tuple[Outcome, Outcome],
) -> None:
    """Live on the silent output and rehearsed: identical item events."""
    rehearsed, aired = rehearsed_and_aired
    assert rehearsed.of("item aired") == aired.of("item aired")
    assert len(aired.of("item aired")) > 5


def test_everything_else_is_the_same_too(rehearsed_and_aired: tuple[Outcome, Outcome]) -> None:
    """Segments, facts, jumps, refusals: every line but what tells where the broadcast went."""
    rehearsed, aired = rehearsed_and_aired
    assert story_of(rehearsed) == story_of(aired)
    assert {"segment entered", "fact changed", "jump waiting", "refused"} <= {
        record["event"] for record in story_of(aired)
    }


def story_of(outcome: Outcome) -> list[dict[str, Any]]:
    """The records, without those that tell of the output and of the time of day."""
    about_the_output = ("station opened", "output started", "station closed")
    return [record for record in outcome.records if record["event"] not in about_the_output]


def test_a_recording_is_as_long_as_its_session(home: Home, tmp_path: Path) -> None:
    """With audio the log is the same, but that it predicts how readable an item is."""
    import wave

    silent = home.run("rehearse", DEMO, "--for", "20s", "--json")
    wav = tmp_path / "session.wav"
    heard = home.run("rehearse", DEMO, "--for", "20s", "--json", "--audio", wav)
    assert heard.code == 0
    told = heard.records
    predicted = [one.pop("readability") for one in told if one["event"] == "item aired"]
    assert told == [
        {key: value for key, value in one.items() if key != "readability"} for one in silent.records
    ]
    assert max(filter(None, predicted)) == pytest.approx(4.0, abs=0.25)
    with wave.open(str(wav)) as file:
        assert file.getnframes() == heard.records[-1]["frame"] == 20 * 48_000
    assert not wav.with_name("session.wav.part").exists()


def test_faults_of_an_events_file_have_places(home: Home, tmp_path: Path) -> None:
    """A segment that does not exist: exit code 1, file, line, column and the nearest name."""
    events = tmp_path / "team.yaml"
    events.write_text("- at: 4 s\n  jump: the gaet\n")
    for command in (("rehearse", DEMO), ("air", DEMO, "--start", "--output", "silent")):
        outcome = home.run(*command, "--events", events)
        assert outcome.code == 1
        assert outcome.errors.startswith(f"{events}:2:9: There is no segment `the gaet`.")


def test_events_on_air_need_a_session_to_count_from(home: Home, tmp_path: Path) -> None:
    """`--events` without `--start` is wrong usage."""
    events = tmp_path / "team.yaml"
    events.write_text("- at: 4 s\n  end: yes\n")
    outcome = home.run("air", DEMO, "--output", "silent", "--events", events)
    assert (outcome.code, "needs --start" in outcome.errors) == (2, True)


def test_a_session_ends_where_its_story_ends(home: Home, tmp_path: Path) -> None:
    """Without `--for` the rehearsal is over with the session, on the very frame."""
    events = tmp_path / "team.yaml"
    events.write_text("- at: 7 s\n  end: yes\n")
    log = tmp_path / "log.jsonl"
    outcome = home.run("rehearse", DEMO, "--events", events, "--json", "--log", log)
    (ended,) = outcome.of("session ended")
    assert outcome.records[-1]["frame"] == ended["frame"]
    assert [json.loads(line) for line in log.read_text().splitlines()] == outcome.records
