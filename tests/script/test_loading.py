"""A whole script: what becomes of it, and everything that is said of one, in one pass."""

from datetime import time
from pathlib import Path

import pytest

from broadcaster.errors import ScriptError, UsageError
from broadcaster.script.clock_times import WORKING_DAYS
from broadcaster.script.loading import examine, load_programme
from broadcaster.script.programme import ITEM_KINDS, Fact, Say, Tone
from broadcaster.script.shelves import find_script, script_files, shipped_sounds, shipped_voices

SAMPLE = Path(__file__).parent / "sample.yaml"
FULL = Path(__file__).parent / "full.yaml"


@pytest.fixture
def told(tmp_path):
    """What is said of the sample when some of its text is replaced: faults, and advice."""

    (tmp_path / "flawed" / "clips").mkdir(parents=True)
    (tmp_path / "flawed" / "clips" / "bell.wav").write_bytes(b"")

    def tell(*replacements, kind="faults"):
        text = SAMPLE.read_text(encoding="utf-8")
        for old, new in replacements:
            assert old in text
            text = text.replace(old, new, 1)
        script = tmp_path / "show.yaml"
        script.write_text(text, encoding="utf-8")
        found = getattr(examine(script), kind)
        return [str(each).removeprefix(f"{script}:") for each in found]

    return tell


def test_a_sound_script_becomes_a_programme():
    """Values are converted, and the voices and the sound are filled in."""
    programme = load_programme(SAMPLE)
    play = [item for segment in programme.segments.values() for item in segment.play]
    assert {item.kind for item in play} == set(ITEM_KINDS) - {"set", "choose"}
    assert programme.station.frequency == 91.3e6
    assert programme.session == 3600
    assert {name: fact.at_first for name, fact in programme.facts.items()} == {
        "lamp_lit": False,
        "crates_open": 0,
        "tide": -2,
    }
    assert set(programme.cast) == {"keeper", "relief"}
    assert programme.voice_of(next(item for item in play if isinstance(item, Say))).about
    assert programme.period == shipped_sounds()["clean"]
    assert programme.folder == SAMPLE.parent
    assert programme.segments["watch"].exits[0].at_once is True
    assert next(item for item in play if isinstance(item, Tone)).for_ == 1.5


def test_the_whole_language_becomes_a_programme():
    """Milestones, hints, timetable, kinds of facts, languages, variants and what is set."""
    programme = load_programme(FULL)
    watch = programme.segments["watch"]
    assert programme.facts["crates_open"] == Fact(at_first=0, from_=0, to=4)
    assert programme.facts["door"].one_of == ("closed", "half open", "open")
    assert programme.milestones["lamp"].stalled_after == 16 * 60
    assert programme.milestones["the door"].stalled_after == 30 * 60
    assert (watch.automatic_hints, watch.hint_every, len(watch.hints)) == (True, 90.0, 2)
    assert [entry.on_days for entry in programme.timetable[2:]] == [("fri", "sat"), WORKING_DAYS]
    assert [entry.clock for entry in programme.timetable[1:]] == [None, time(21), time(22, 30, 15)]
    opening, choose = watch.play[:2]
    assert [value.name for value in opening.say.times] == ["clock", "session time"]
    assert (opening.once, choose.every) == (True, 3)
    assert [variant.kind for variant in choose.choose] == ["say", "say", "pause"]
    assert {item.kind for item in watch.play} | {"choose", "set"} <= set(ITEM_KINDS)
    spoken = [item for item in watch.play if item.speaks]
    names = [programme.voice_name_of(item) for item in spoken]
    assert names == [*["keeper"] * 3, "deich", "phare", "faro", "keeper"]
    assert [programme.language_of(item) for item in spoken[3:]] == ["de", "fr", "es", "en"]
    assert set(programme.cast) == {"keeper", "relief", "deich", "phare", "faro"}
    assert programme.clues_within == 180


def test_how_it_is_to_be_received_becomes_a_programme():
    """Readability, signal and transition at each place that may have them; floor and phrases."""
    programme = load_programme(FULL)
    station, watch, night = programme.station, *programme.segments.values()
    assert (station.readability, watch.readability, night.readability) == (4.0, None, 3.0)
    assert [item.readability for item in watch.play if item.readability] == [4.5]
    assert station.signal.source == "1 + (crates_open > 2) + (session time >= 30 min) + lamp_lit"
    assert (watch.signal, night.signal.root.value) == (None, 2)
    assert station.transition == "retune sweep"
    assert [way.transition for way in watch.exits] == ["carrier drop", None]
    assert programme.clue_floor == 3.5
    assert programme.phrases == {"Heron calling": "herron calling"}


def test_a_clue_may_not_be_asked_to_be_unreadable(told):
    """By its station, its segment or itself, as a variant or a hint; what is innermost counts."""
    clue = ("        clue: gate code\n", "        clue: gate code\n        readability: 3\n")
    station = ("  sound: clean\n", "  sound: clean\n  readability: 2.5\n")
    segment = ("    repeat: yes\n", "    repeat: yes\n    readability: 3.5\n")
    choose = (
        "      - pause: 4 s\n",
        "      - choose: [{say: A, readability: 2}, {say: B}, {pause: 1 s}]\n        clue: tide\n"
        "    hints: [{say: C, clue: hint}]\n",
    )
    assert [fault.split(", and")[0] for fault in told(station, clue, choose)] == [
        "26:15: This clue has a readability of 2.5",
        "44:40: This clue has a readability of 2",
        "45:15: This clue has a readability of 2.5",
        "46:28: This clue has a readability of 2.5",
    ]
    (only,) = told(station, segment, clue, choose)
    assert only.startswith("45:40: This clue has a readability of 2, and the clue floor is 3.")


def test_every_item_knows_what_leads_to_it():
    """Items of running orders, hints, variants and timetable, each with its place in the file."""
    examination = examine(FULL)
    found = dict(examination.programme.items())
    assert len(found) == 9 + 3 + 2 + 2 + 1 + 4
    assert found["segments", "watch", "play", 1, "choose", 2].kind == "pause"
    assert found["segments", "watch", "hints", 1, "choose", 0].kind == "say"
    assert found["timetable", 2, "play", 0].kind == "pips"
    lines = FULL.read_text(encoding="utf-8").splitlines()
    for steps, item in found.items():
        place = examination.place_of(*steps, item.kind)
        assert item.kind in lines[place.line - 1] or item.kind == "choose"


@pytest.mark.parametrize("script", [SAMPLE, FULL], ids=lambda script: script.stem)
def test_a_sound_script_gets_no_advice(script):
    """The samples are good as they are."""
    examination = examine(script)
    assert examination.faults == ()
    assert examination.advice == ()


def test_a_place_can_be_asked_for():
    """Any part of the programme knows where it is written."""
    examination = examine(SAMPLE)
    place = examination.place_of("segments", "watch", "play", 0, "interval signal")
    line = SAMPLE.read_text(encoding="utf-8").splitlines()[place.line - 1]
    assert line[place.column - 1 :].startswith("G4 C5 E5")
    with pytest.raises(KeyError):
        examination.place_of("segments", "watch", "play", 0, "tempo", "more")


def test_form_and_meaning_are_told_in_one_pass(told):
    """Faults in one part hide none in another, in the order of their places."""
    faults = told(
        ("voice: keeper", "vioce: keeper"),
        ("tide: -2", "tide: low"),
        ("REED", "REED!"),
        ("{crates_open} of", "{crates_opened} of"),
        ("not lamp_lit", "not lamp_lid"),
        ("to: second message", "to: second massage"),
        ("tide < 0", "tide < 0 and crates_open"),
        ("bell.wav", "gong.wav"),
    )
    assert [fault.split(": ")[0] for fault in faults] == [
        *("4:3", "6:3", "13:9", "32:20", "37:14", "41:39", "45:13", "47:70", "56:15")
    ]


def test_what_is_faulty_brings_no_further_faults_about(told):
    """A faulty segment, fact, exit or opening is still known by its name."""
    assert told(("repeat: yes", "repeat: often")) == [
        "17:13: `often` is neither `yes` nor `no`. Write one of them."
    ]
    assert told(("lamp_lit: no", "lamp_lit: dark")) == [
        "11:13: `dark` is no value for a fact. Write `yes`, `no` or a whole number; "
        "a name is one of a list: `{one of: [closed, ajar], at first: closed}`."
    ]
    assert told(("      - to: end", "      - to: end\n        twice: yes")) == [
        "62:9: `twice` is not known here. Known: `to`, `when`, `at once` and `transition`."
    ]
    assert told(("opening: watch\n", "")) == ["2:1: The file lacks `opening`. Add `opening: ...`."]
    assert told(("      - pips: 6\n", "      - pips: 6\n      - pip: 6\n")) == [
        "60:9: `pip` is not known in `play`. Did you mean `pips`?"
    ]


def test_an_exit_at_once_is_not_shadowed_by_one_at_the_end_of_the_round(told):
    """What always holds at a round's end does not keep an exit from being taken before."""
    at_once = "      - to: watch\n        when: lamp_lit\n        at once: yes\n"
    assert told(("      - to: end\n", "      - to: end\n" + at_once)) == []


NIGHT = """\
  night:
    repeat: yes
    play: [{pause: 3 s, when: lamp_lit}]
    exits: [{to: second message, when: lamp_lit}]
  second message:
"""
TO_SECOND = ("to: second message", "to: end")


@pytest.mark.parametrize(
    ("replacements", "said"),
    [
        (
            [("91.3 MHz", "76.5 MHz")],
            "5:14: 76.5 MHz lies outside the FM broadcast band. Local rules",
        ),
        ([("{tide}", "ebb"), ("tide < 0", "lamp_lit")], "13:3: The fact `tide` is never used."),
        ([TO_SECOND, TO_SECOND], "50:3: No exit leads to `second message`"),
        ([("all keepers", "MAYDAY")], "23:45: `MAYDAY` is a distress signal"),
        ([("all keepers", "pan-pan")], "23:45: `pan-pan` is an urgency signal"),
        ([("all keepers", "Sécurité")], "23:45: `Sécurité` is a safety signal"),
        ([("REED", "A SOS")], "32:18: `SOS` is a distress signal"),
        ([("HERON 7", "ZCZC")], "52:16: `ZCZC` is a code of public warning systems"),
        (
            [("      - to: end", "      - to: watch\n    repeat: yes")],
            "62:13: `second message` never repeats",
        ),
        (
            [("to: second message", "to: night"), ("  second message:\n", NIGHT)],
            "52:11: No item of `night` goes out each round",
        ),
        (
            [("rounds > 20 and tide < 0", "tide < 0"), ("crates_open > 0 and", "1 > 2 and")],
            "41:17: This can never hold.",
        ),
        (
            [("opening:", "phrases: {all keepers: x, Watchman: y}\nopening:")],
            "9:27: `Watchman` stands in no text that is spoken. Write it as the texts do",
        ),
        (
            [("opening:", "milestones: {lamp: {when: lamp_lit, by: 60 min}}\nopening:")],
            "9:41: This time never comes: the session lasts 1 h.",
        ),
        (
            [
                (
                    "opening:",
                    "milestones: {lamp: {when: lamp_lit, by: 12 min, hint after: 4 min}}\nopening:",
                )
            ],
            "9:61: The team stalls at 4 min, before the target time of 12 min.",
        ),
        (
            [
                ("voice: keeper", "voice: keeper\n  signal: 4 + tide"),
                ("tide: -2", "tide: {from: 0, to: 3, at first: 0}"),
                ("tide < 0", "tide > 0"),
            ],
            "7:11: This signal may come to 7; above 5 it changes nothing.",
        ),
        (
            [
                ("voice: keeper", "voice: keeper\n  signal: 2 - tide"),
                ("tide: -2", "tide: {from: 0, to: 3, at first: 0}"),
                ("tide < 0", "tide > 0"),
            ],
            "7:11: This signal may fall to -1; below 0 it changes nothing.",
        ),
        (
            [("repeat: yes", "repeat: yes\n    hints: [{pause: 1 s}]\n    automatic hints: yes")],
            "19:22: Automatic hints wait for a stalled milestone, and there is none.",
        ),
    ],
)
def test_what_may_be_meant_is_advice(told, replacements, said):
    """Advice stands apart and keeps no script from going on air."""
    assert told(*replacements) == []
    (advice,) = told(*replacements, kind="advice")
    assert advice.startswith(said)


def test_what_the_timetable_reaches_is_reached(told):
    """A segment to which only the timetable leads is not for the operator alone."""
    to_second = [TO_SECOND, TO_SECOND]
    timetable = "timetable: [{at: 5 min, segment: second message}]\nopening:"
    assert told(*to_second, ("opening:", timetable), kind="advice") == []


def test_ordinary_words_are_no_emergency(told):
    """Only whole words count."""
    ordinary = "sosbox Pan panic nnnnn maydays"
    assert told(("all keepers", ordinary), kind="advice") == []


def test_a_writer_cannot_fill_in_what_the_reader_fills_in(told):
    """The cast, the period sound and the folder are no keys of a script."""
    for key in ("cast", "period", "folder"):
        (fault,) = told(("opening: watch\n", f"opening: watch\n{key}: x\n"))
        assert fault.startswith(f"10:1: `{key}` is not known here.")


def test_an_absurd_script_is_not_answered_at_absurd_length(told):
    """Beyond 500 faults of form the rest is counted."""
    faults = told(("      - pips: 6\n", "      - pop: 6\n" * 600))
    assert len(faults) == 501
    assert faults[-1].endswith("There are 100 more faults like these. Mend the first ones.")


def test_a_script_is_found_by_its_path_or_its_shipped_name(tmp_path, monkeypatch):
    """A path that exists wins; an unknown name is answered with the nearest shipped one."""
    assert find_script(SAMPLE) == SAMPLE
    name, path = next(iter(script_files().items()))
    monkeypatch.chdir(tmp_path)
    assert find_script(name) == path
    Path(name).write_text("", encoding="utf-8")
    assert find_script(name) == Path(name)
    with pytest.raises(UsageError, match=f"Did you mean `{name}`"):
        find_script(f"{name}s")


def test_everything_that_ships_is_sound():
    """Voices and sounds can be read, and the scripts are free of faults."""
    assert all(profile.about for profile in shipped_voices().values())
    assert all(sound.about for sound in shipped_sounds().values())
    for path in script_files().values():
        assert [str(fault) for fault in examine(path).faults] == []


def test_load_programme_raises_all_faults(tmp_path):
    """The error is a sentence a line, and its exit code that of a faulty script."""
    script = tmp_path / "show.yaml"
    script.write_text("programme: A\nstation: B\n", encoding="utf-8")
    with pytest.raises(ScriptError) as refused:
        load_programme(script)
    assert str(refused.value).splitlines() == [
        f"{script}:1:1: The file lacks `opening`. Add `opening: ...`.",
        f"{script}:1:1: The file lacks `segments`. Add `segments: ...`.",
        f"{script}:2:10: `station` is a single value, where a set of keys should be. "
        "Write its keys below it, indented, each as `key: value`.",
    ]


def test_a_shipped_script_is_told_by_a_short_name(tmp_path, monkeypatch):
    """By its name as it was asked for, its path in the current folder, or the path given."""
    name, path = next(iter(script_files().items()))
    monkeypatch.chdir(tmp_path)
    assert examine(name).place_of().file == name
    assert examine(path).place_of().file == str(path)
    monkeypatch.chdir(path.parents[1])
    assert examine(name).place_of().file == str(path.relative_to(path.parents[1]))
