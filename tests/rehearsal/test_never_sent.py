"""Items that can never go out: none is missed that facts alone tell, and none is made up."""

import pytest

from broadcaster.rehearsal.checking import check_script
from broadcaster.rehearsal.lengths import Lengths
from broadcaster.rehearsal.never_sent import never_sent
from broadcaster.script.loading import load_programme

SCRIPT = """\
programme: A watch
station: {callsign: Heron, frequency: 91.3 MHz, voice: keeper}
opening: watch
facts:
  fan: no
  lamp: no
  tide: 0
  pumps: {from: 0, to: 3, at first: 0}
  gate: {one of: [closed, ajar, open], at first: closed}
milestones: {lamp: {when: lamp, by: 12 min}}
segments:
  watch:
    repeat: yes
    play:
      - pause: 9 s
      - pause: 2 s
        when: WHEN
        clue: the fan
    exits:
      - {to: on, when: fan, at once: yes}
      - {to: on, when: 'gate = "open" and not lamp', at once: yes}
      - {to: on, when: session time > 20 min, at once: yes}
      - {to: on, when: pumps > 2}
  on:
    play: [pause: 1 s]
    exits: [{to: end}]
"""


@pytest.fixture
def script(tmp_path):
    """The path of the script with another condition."""

    def script(when, text=SCRIPT):
        path = tmp_path / "watch.yaml"
        path.write_text(text.replace("WHEN", when), encoding="utf-8")
        return str(path)

    return script


@pytest.mark.parametrize(
    ("when", "left_at_once"),
    [
        ("fan", True),
        ("fan and lamp", True),
        ("fan or (gate = 'open' and not lamp)", True),
        ("pumps > 1 and fan", True),
        ("fan and session time > 5 min", True),
        ("fan and met(lamp)", True),
        ("fan and not fan", False),
        ("gate = 'open' and gate = 'ajar'", False),
        ("pumps > 2 and pumps < 2", False),
        ("rounds > 2 and lamp and not lamp", False),
    ],
)
def test_what_never_goes_out(script, when, left_at_once):
    """Its own contradiction, or an exit that is tried at once on the same frame."""
    (found,) = never_sent(load_programme(script(when)))
    assert (found.steps, found.clue) == (("segments", "watch", "play", 1), "the fan")
    assert found.left_at_once == left_at_once


@pytest.mark.parametrize(
    "when",
    [
        "lamp",
        "not fan",
        "gate = 'open'",
        "gate = 'open' and lamp",
        "fan or lamp",
        "pumps > 2",  # that exit waits for the end of the round
        "session time > 30 min",  # times are not judged
        "session time > 3 min and session time < 2 min",
        "met(lamp) and not lamp",  # met for good
        "stalled(lamp)",
        "hints given > 1",
        "tide < 0",  # nothing says that it does not fall
        "tide > 3 and tide < 5",
        "pumps > tide and pumps > 2",
        "tide + pumps > 900",
    ],
)
def test_what_may_go_out(script, when):
    """Nothing is said of it."""
    assert list(never_sent(load_programme(script(when)))) == []


def test_what_is_impossible_by_its_bounds_is_told_elsewhere(script):
    """One advice on one place is enough."""
    path = script("pumps > 9")
    assert list(never_sent(load_programme(path))) == []


@pytest.fixture
def check(tmp_path):
    def check(path, **options):
        return check_script(path, lambda programme: Lengths(programme, tmp_path), **options)

    return check


def test_a_clue_that_can_never_go_out_is_a_fault(check, script):
    """At its `when`, with the cause; that it is not repeated is no cause, and not told."""
    bound = "clues within: 90 s\n" + SCRIPT
    (fault,) = check(script("fan", bound)).faults
    assert (fault.place.line, fault.place.column) == (18, 15)
    assert fault.message == (
        "This clue can never go out: whenever its `when` holds, `watch` is left at once."
    )
    report = check(script("fan and not fan"), clues=True)
    (fault,) = report.faults
    assert fault.message == "This clue can never go out: its `when` contradicts itself."
    assert [clue.trouble for clue in report.clues] == ["It can never go out."]


def test_any_other_item_is_advised_on(check, script):
    """It may have been turned off on purpose."""
    report = check(script("fan", SCRIPT.replace("        clue: the fan\n", "")))
    assert report.faults == ()
    assert [advice.message for advice in report.advice if advice.place.line == 17] == [
        "This item can never go out: whenever its `when` holds, `watch` is left at once."
    ]
