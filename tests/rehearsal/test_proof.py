"""Proofs: traps told as a story, exits that are never taken, and one mind with brute force."""

import random
from dataclasses import replace
from itertools import product
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from broadcaster.rehearsal.proof import prove
from broadcaster.rehearsal.proof_bare import bare
from broadcaster.rehearsal.proof_report import proof_advice, proof_faults
from broadcaster.rehearsal.proof_story import told
from broadcaster.script.loading import examine, load_programme
from broadcaster.script.programme import END
from broadcaster.script.shelves import script_files
from broadcaster.story.events import SegmentEntered, SessionEnded, SetFact, StartSession
from broadcaster.story.machine import Story
from broadcaster.story.state import Phase
from tests.story.make import MINUTE, entry, programme, remember, say, segment

HERE = Path(__file__).parent
ENDING = segment(say("Home."), exits=({"to": "end"},), repeat=False)
GROWS = {"at first": 0, "from": 0, "to": 4, "stays": "yes"}
STAYS = {"at first": "no", "stays": "yes"}


def way(to, when=None, at_once=False):
    return {"to": to} | ({"when": when} if when else {}) | ({"at once": "yes"} if at_once else {})


def seg(*exits, play=("Calling.",), **options):
    items = [say(each) if isinstance(each, str) else each for each in play]
    return segment(*items, exits=exits, **options)


def story_of(proof):
    return told(proof.trap.steps, proof.facts)


def dead(proof):
    return {(each.segment, each.number, each.shadowed) for each in proof.dead}


# --- traps ------------------------------------------------------------------------------------


def test_the_trap():
    """Crate 3 before the lamp: `check` tells the sequence, and where the broadcast then stays."""
    examination = examine(HERE / "the-trap.yaml")
    faults = [*proof_faults(prove(examination.programme), examination)]
    trap = next(fault for fault in faults if "stuck" in fault.message)
    assert trap.message == (
        "A team can get stuck. 1. The session begins with `watch`. 2. `crates_open` becomes 3. "
        "3. `too soon` goes on air. From then on no ending can be reached: the broadcast stays in "
        "`too soon`."
    )
    assert trap.place.line == 24
    assert sorted(fault.place.line for fault in faults) == [24, 29]


def test_a_fact_that_can_go_back_is_no_trap():
    """The same with crates that can be shut again."""
    script = load_programme(HERE / "the-trap.yaml")
    crates = script.facts["crates_open"].model_copy(update={"stays": False})
    free = script.model_copy(update={"facts": {**script.facts, "crates_open": crates}})
    assert prove(free).trap is None


def test_the_other_order_is_no_trap():
    """A story in which either may come first."""
    script = programme(
        {
            "a": seg(way("b", "lamp"), way("c", "crates >= 3")),
            "b": seg(way("home", "crates >= 3")),
            "c": seg(way("home", "lamp")),
            "home": ENDING,
        },
        {"lamp": STAYS, "crates": GROWS},
    )
    proof = prove(script)
    assert (proof.trap, proof.undecided, proof.dead) == (None, "", ())


def test_what_a_script_remembers_can_be_a_trap():
    """A fact that only the script changes is not put right by the room."""
    script = programme(
        {
            "a": seg(way("home", "not warned"), play=("Hush.", remember(warned=True))),
            "home": ENDING,
        },
        {"warned": False},
    )
    proof = prove(script)
    assert proof.trap.stays_in == ("a",)
    assert dead(proof) == {("a", 0, False)}


def test_a_milestone_is_remembered():
    """What `met()` asks for is met for good."""
    script = programme(
        {"a": seg(way("home", "lamp and not met(lamp)")), "home": ENDING},
        {"lamp": False},
        milestones={"lamp": {"when": "lamp", "by": "10 min"}},
    )
    assert prove(script).trap is not None


def test_time_leads_out():
    """An exit by time can be counted on, so can session time; the clock on the wall cannot."""
    by_time = {"a": seg(way("home", "time left < 2 min")), "home": ENDING}
    assert prove(programme(by_time)).trap is None
    forever = {"a": seg(way("home", "lamp")), "b": seg(), "home": ENDING}
    forever["a"] = seg(way("b", "lamp", at_once=True))
    at = (entry(at="10 min", segment="home"),)
    assert prove(programme(forever, {"lamp": False}, timetable=at)).reached == {"a", "b", "home"}
    daily = (entry(daily="21:00", segment="home"),)
    assert prove(programme(forever, {"lamp": False}, timetable=daily)).trap is not None


def test_no_ending_no_trap():
    """A broadcast that is meant to go on for ever has no trap."""
    assert prove(programme({"a": seg(way("b", "x")), "b": seg()}, {"x": False})).trap is None


def test_time_is_told():
    """Where only time leads into the trap, the story says which."""
    script = programme(
        {
            "a": seg(way("home", "x", at_once=True), way("b", "session time > 20 min")),
            "b": seg(),
            "home": ENDING,
        },
        {"x": False},
    )
    assert story_of(prove(script)) == (
        "1. The session begins with `a`. 2. The session has lasted 20 min. 3. `b` goes on air."
    )


# --- exits and segments -----------------------------------------------------------------------


def test_a_shadowed_exit():
    """Whatever opens the second exit opens the first."""
    script = programme(
        {"a": seg(way("b", "crates > 0"), way("home", "crates > 2")), "b": seg(), "home": ENDING},
        {"crates": 0},
    )
    proof = prove(script)
    assert dead(proof) == {("a", 1, True)}
    assert proof.reached == {"a", "b"}


def test_an_exit_that_contradicts_itself():
    """Each part can hold, but not both."""
    script = programme(
        {"a": seg(way("home", "x and not x"), way("home", "x")), "home": ENDING}, {"x": False}
    )
    assert dead(prove(script)) == {("a", 0, False)}


def test_rounds_are_counted():
    """An exit after four rounds is reached; one after five is not, when four leads away."""
    script = programme(
        {
            "a": seg(way("b", "rounds = 4"), way("home", "rounds = 5")),
            "b": seg(way("a")),
            "home": ENDING,
        }
    )
    assert dead(prove(script)) == {("a", 1, False)}


def test_quiet_time_begins_anew():
    """The room can change after a segment began, and stay unchanged for longer than it lasts."""
    script = programme(
        {
            "a": seg(way("b", "quiet time < segment time"), way("home", "quiet time > 4 min")),
            "b": seg(
                way("a", "quiet time > segment time"), way("home", "quiet time = segment time")
            ),
            "home": ENDING,
        },
        {"x": False},
    )
    assert prove(script).dead == ()


def test_a_circle_that_lasts_no_time():
    """Two segments that hand over to each other at once."""
    script = programme(
        {
            "a": seg(way("b", "x", at_once=True), way("home", "y")),
            "b": seg(way("a", "x", at_once=True)),
            "home": ENDING,
        },
        {"x": False, "y": False},
    )
    assert set(prove(script).circles[0]) == {"a", "b"}


def test_reached_by_the_operator_alone():
    """An exit leads there, from a segment that is itself never reached: advice, no fault."""
    proof = prove(programme({"a": ENDING, "b": seg(way("c", "x")), "c": ENDING}, {"x": False}))
    assert (proof.reached, proof.dead) == ({"a"}, ())


# --- shipped scripts, and large ones ------------------------------------------------------------


@pytest.mark.parametrize("script", script_files())
def test_shipped_scripts_are_proven(script):
    """Every exit can be taken, no team gets stuck; what is left to the operator is said."""
    examination = examine(script)
    proof = prove(examination.programme)
    assert proof.undecided == ""
    assert [*proof_faults(proof, examination)] == []
    assert [*proof_advice(proof, examination)] == []


def large(segments, facts):
    """Segments in a row, each with a way on, one back, and one by time; the last ends."""
    names = [f"s{number}" for number in range(segments)]
    chance = random.Random(1)
    rows = {}
    for number, name in enumerate(names):
        one, other = chance.sample(range(facts), 2)
        back = max(0, number - 1 - chance.randrange(9))
        on = names[number + 1] if number + 1 < segments else END
        at_once = number % 3 == 0 and back % 3 > 0
        rows[name] = seg(
            way(names[back], f"f{one} and not f{other}", at_once),
            way(on, f"f{other}"),
            way(on, f"rounds >= {2 + number % 3} or time left < 5 min"),
        )
    return programme(rows, {f"f{number}": False for number in range(facts)})


def test_a_large_script_is_decided():
    """200 segments and 30 facts, within the bound; progress is told."""
    news = []
    proof = prove(large(200, 30), lambda done, known: news.append((done, known)))
    assert (proof.undecided, proof.trap, proof.dead, proof.circles) == ("", None, (), ())
    assert len(proof.reached) == 200
    assert news
    assert news == sorted(news)


def test_what_is_not_decided_is_said():
    """Thirty facts that stay, all asked for at once: the bound is told, and nothing claimed."""
    facts = {f"f{number}": STAYS for number in range(30)}
    sum_of_all = " and ".join(facts)
    script = programme({"a": seg(way("home", sum_of_all)), "home": ENDING}, facts)
    proof = prove(script, most_questions=2_000)
    assert proof.undecided.startswith("Not decided: after 2")
    assert (proof.trap, proof.dead) == (None, ())


# --- one mind with brute force --------------------------------------------------------------------

CONDITIONS = [
    "p",
    "not p",
    "q",
    "q and not p",
    "n > 0",
    "n = 2",
    "n = 1 or q",
    "w",
    "not w",
    "p and w",
]
NAMES = ["a", "b", "c", "d"]


@st.composite
def scripts(draw, conditions=CONDITIONS):
    """Small scripts: some facts stay, some are the script's own, some exits are taken at once."""
    rows = {}
    for name in NAMES:
        exits = [
            way(to, when, at_once)
            for to, when, at_once in draw(
                st.lists(
                    st.tuples(
                        st.sampled_from([*NAMES, END]), st.sampled_from(conditions), st.booleans()
                    ),
                    max_size=3,
                )
            )
        ]
        play = ["Calling."]
        if draw(st.booleans()):
            play.append(remember(w=draw(st.booleans())))
        if draw(st.booleans()):
            play += ["Once more.", remember(w=draw(st.booleans()))]
        rows[name] = seg(*exits, play=play)
    facts = {
        "p": STAYS if draw(st.booleans()) else False,
        "q": STAYS if draw(st.booleans()) else False,
        "n": {"at first": 0, "from": 0, "to": 2, "stays": "yes" if draw(st.booleans()) else "no"},
        "w": False,
    }
    return programme(rows, facts)


class Everything:
    """Every state of the machine, facts and all, with no time passing: a proof by exhaustion."""

    def __init__(self, script):
        self.script, self.story = script, Story(script)
        self.scripts = bare(script).scripts
        self.taken, self.leads_back = set(), {}
        self.seen = set()
        ahead = [*self.openings()]
        while ahead:
            state = ahead.pop()
            if state in self.seen:
                continue
            self.seen.add(state)
            for after in self.after(state):
                self.leads_back.setdefault(after, []).append(state)
                ahead.append(after)

    def openings(self):
        """The room may have spoken before, but for facts that stay."""
        first = self.story.stand_by()
        ways = [
            (fact.at_first,) if fact.stays or name in self.scripts else self.values(name)
            for name, fact in self.script.facts.items()
        ]
        for facts in product(*ways):
            state = self.story.receive(replace(first, facts=facts), StartSession(), 0).state
            yield self.plain(self.story.advance(state, 0))

    @staticmethod
    def values(name):
        return (0, 1, 2) if name == "n" else (False, True)

    @staticmethod
    def plain(turn):
        return replace(turn.state, rounds=0, way_out=None)

    def after(self, state):
        if state.phase is Phase.ENDED:
            return
        yield self.plain(self.story.advance(state, 0))
        for name, fact in self.script.facts.items():
            now = dict(zip(self.script.facts, state.facts, strict=True))[name]
            for value in self.values(name):
                if value != now and name not in self.scripts and not (fact.stays and value < now):
                    turn = self.story.receive(state, SetFact(name, value), 0)
                    if turn.state.way_out:
                        yield self.plain(self.story.advance(turn.state, 0))
                    else:
                        yield self.plain(turn)

    def stuck(self):
        free = {state for state in self.seen if state.phase is Phase.ENDED}
        ahead = list(free)
        while ahead:
            for before in self.leads_back.get(ahead.pop(), ()):
                if before not in free:
                    free.add(before)
                    ahead.append(before)
        return self.seen - free


@settings(max_examples=150, deadline=None)
@given(scripts())
def test_of_one_mind_with_exhaustion(script):
    """Traps and reached segments are those of a search through every state, nothing forgotten.

    But for traps of a script whose segments lead into each other without sending anything: that is
    a fault of its own, and in such a circle the search lets no two facts change together.
    """
    proof, everything = prove(script), Everything(script)
    assert proof.undecided == ""
    assert proof.reached == {state.segment for state in everything.seen if state.segment}
    has_ending = any(way.to == END for each in script.segments.values() for way in each.exits)
    if not proof.circles:
        assert (proof.trap is not None) == (has_ending and bool(everything.stuck()))


TIMED = [
    *CONDITIONS,
    "rounds >= 2",
    "session time > 8 min",
    "quiet time > 3 min",
    "time left < 50 min",
]
TIMED += ["segment time > 2 min and p", "quiet time < segment time", "rounds = 1 and not q"]


@settings(max_examples=40, deadline=None, derandomize=True)
@given(scripts(TIMED), st.integers(0, 1_000))
def test_a_random_walk_finds_nothing_new(script, seed):
    """Wherever a random broadcast goes, with real times, the proof has been.

    Where 20 further walks from there come to no ending, the proof has found a trap.
    """
    proof, chance = prove(script), random.Random(seed)
    dead_exits = {(each.segment, each.number) for each in proof.dead}
    begun = Story(script).receive(Story(script).stand_by(), StartSession(), 0).state
    state, frame, visited = walk(script, begun, 0, chance, dead_exits)
    assert visited <= proof.reached
    further = (walk(script, state, frame, chance, dead_exits)[0] for _ in range(20))
    has_ending = any(way.to == END for each in script.segments.values() for way in each.exits)
    if has_ending and not any(after.phase is Phase.ENDED for after in further):
        assert proof.trap is not None


def walk(script, state, frame, chance, dead_exits):
    """Borders and changes of facts; the last state, and where the story came."""
    story, own, visited = Story(script), bare(script).scripts, set()
    for _ in range(150):
        if state.phase is Phase.ENDED:
            break
        frame += chance.choice([1, 48_000, MINUTE, 3 * MINUTE + 1])
        state = story.tick(state, frame).state
        name = chance.choice(sorted(script.facts))
        now = dict(zip(script.facts, state.facts, strict=True))[name]
        value = chance.choice([0, 1, 2]) if name == "n" else chance.choice([False, True])
        back = script.facts[name].stays and value < now
        if chance.random() < 0.4 and name not in own and not back:
            state = story.receive(state, SetFact(name, value), frame).state
        if state.way_out or chance.random() < 0.7:
            here = state.segment
            state = note(story.advance(state, frame), visited, here, script, dead_exits)
    return state, frame, visited


def note(turn, visited, here, script, dead_exits):
    """Where the story went, by which exits: none of them may be one that is never taken."""
    for event in turn.events:
        if isinstance(event, SegmentEntered | SessionEnded):
            to = event.segment if isinstance(event, SegmentEntered) else END
            if event.why.startswith("exit"):
                source = event.why.removeprefix("exit").removeprefix(": ")
                ways = [
                    number
                    for number, each in enumerate(script.segments[here].exits)
                    if each.to == to and (each.when.source if each.when else "") == source
                ]
                assert any((here, number) not in dead_exits for number in ways)
            here = to
    if turn.state.segment:
        visited.add(turn.state.segment)
    return turn.state
