"""The language of conditions: what it means, and what it says of everything else."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broadcaster.errors import UnreadableError
from broadcaster.script.condition_types import check_condition, check_signal
from broadcaster.script.conditions import (
    CLOCKS,
    Both,
    Comparison,
    DurationLiteral,
    Either,
    FactName,
    Met,
    NamedCount,
    NamedTime,
    NameLiteral,
    Not,
    NumberLiteral,
    Stalled,
    Sum,
    YesNoLiteral,
    parse_condition,
)
from broadcaster.script.facts import Fact

FACTS = {
    "lamp_lit": Fact(at_first=False),
    "crates_open": Fact(at_first=0, from_=0, to=4),
    "sessions": Fact(at_first=2),
    "door": Fact(at_first="closed", one_of=("closed", "half open")),
    "gate": Fact(at_first="closed", one_of=("closed", "half open")),
}
MILESTONES = ("lamp", "the door")


def shape(node):
    """A tree as nested text, fully parenthesised."""
    match node:
        case YesNoLiteral(value):
            return "yes" if value else "no"
        case NumberLiteral(value):
            return str(value)
        case DurationLiteral(frames):
            return f"{frames / 48_000:g}s"
        case FactName(name) | NamedTime(name) | NamedCount(name):
            return name
        case NameLiteral(value):
            return f"<{value}>"
        case Stalled(milestone):
            return f"stalled[{milestone or ''}]"
        case Met(milestone):
            return f"met[{milestone}]"
        case Not(operand):
            return f"(not {shape(operand)})"
        case Both(left, right):
            return f"({shape(left)} and {shape(right)})"
        case Either(left, right):
            return f"({shape(left)} or {shape(right)})"
        case Comparison(operator, left, right):
            return f"({shape(left)} {operator} {shape(right)})"
        case Sum(sign, left, right):
            return f"({shape(left)} {'+' if sign == 1 else '-'} {shape(right)})"


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("lamp_lit", "lamp_lit"),
        ("a or b and c", "(a or (b and c))"),
        ("a and b or c", "((a and b) or c)"),
        ("not a and b", "((not a) and b)"),
        ("not a = b", "(not (a = b))"),
        ("not not a", "(not (not a))"),
        ("a - b - c > 1 + 2", "(((a - b) - c) > (1 + 2))"),
        ("a = -1", "(a = -1)"),
        ("a -1 = 0", "((a - 1) = 0)"),
        ("(a or b) and c", "((a or b) and c)"),
        ("a or b or c", "((a or b) or c)"),
        ("yes and no", "(yes and no)"),
        ("a!=b", "(a != b)"),
        ("session time >= 12 min", "(session time >= 720s)"),
        ("session   time > 1 h 10 min", "(session time > 4200s)"),
        ("time left<90 s", "(time left < 90s)"),
        ("quiet time > 1.5s", "(quiet time > 1.5s)"),
        ("segment time > 1h10min + 250 ms", "(segment time > (4200s + 0.25s))"),
        ("rounds >= 3", "(rounds >= 3)"),
        ("hints  given >= 3", "(hints given >= 3)"),
        ('a = "half open"', "(a = <half open>)"),
        ("'and' = a or b", "((<and> = a) or b)"),
        ("stalled", "stalled[]"),
        ("stalled and not met(the lamp)", "(stalled[] and (not met[the lamp]))"),
        ("stalled ( the door )or met(x)", "(stalled[the door] or met[x])"),
    ],
)
def test_or_and_not_comparison_sum_bind_ever_tighter(written, meant):
    """Each condition reads as its parenthesised form."""
    assert shape(parse_condition(written).root) == meant


@pytest.mark.parametrize(
    "name", ["rounds_played", "stalled_x", "metal", "session", "yesterday", "nothing", "order", "s"]
)
def test_names_that_only_begin_like_a_word_of_the_language_are_facts(name):
    """A word of the language ends where the name would go on."""
    assert parse_condition(name).root == FactName(name, 0)


def test_named_times_are_one_name_each():
    """All of CLOCKS can be written, and remember where they stand."""
    for name in CLOCKS:
        assert parse_condition(f"yes = no or {name} > 1 s").root.right.left == NamedTime(name, 12)


@pytest.mark.parametrize(
    ("written", "offset", "said"),
    [
        ("", 0, "missing"),
        ("   ", 0, "missing"),
        ("crates_open == 3", 12, "Write `=`"),
        ("a && b", 2, "Write `and`"),
        ("a || b", 2, "Write `or`"),
        ("!a", 0, "Write `not`"),
        ("a <> b", 2, "Write `!=`"),
        ("a => 3", 2, "Write `>=`"),
        ("a b", 2, "`b` cannot stand here"),
        ("a > ", 3, "ends too soon"),
        ("and a", 0, "`and` cannot stand here"),
        ("(a or b", 0, "never closed"),
        ("a or (b", 5, "never closed"),
        ("a)", 1, "`)` cannot stand here"),
        ("1 < a < 3", 6, "in a row"),
        ("a > 3.5", 4, "not a whole number"),
        ("a > 1234567890", 4, "not a whole number"),
        ("session time > 12 minutes", 18, "The units are"),
        ("session time > 9999999 h", 15, "too long"),
        ("a = 'x", 4, "never closed"),
        ('a = "x', 4, "never closed"),
        ("met and a", 0, "names no milestone"),
        ("a or met()", 5, "names no milestone"),
        ("a or stalled( )", 5, "names no milestone"),
        ("stalled(a", 7, "`(` cannot stand here"),
        ("stalled(a(b))", 7, "`(` cannot stand here"),
        ("a # b", 2, "`#` cannot stand here"),
        ("(" * 31 + "a" + ")" * 31, 30, "nested deeper"),
        ("not " * 31 + "a", 120, "nested deeper"),
        ("a or " * 120 + "a", 0, "241 words is too long"),
        ("a" * 1001, 0, "1001 characters is too long"),
    ],
)
def test_what_cannot_be_understood_is_refused_where_it_stands(written, offset, said):
    """The error has the offset of the first thing that is wrong, and says how to mend it."""
    with pytest.raises(UnreadableError) as refused:
        parse_condition(written)
    assert said in str(refused.value)
    assert refused.value.offset == offset


@pytest.mark.parametrize(
    "written",
    [
        "lamp_lit",
        "lamp_lit = no",
        "lamp_lit != (crates_open > 2)",
        "crates_open + 1 < sessions - 3",
        "rounds > crates_open",
        "not lamp_lit or session time - segment time > 30 s",
        "yes",
        'door = "half open" or "closed" != gate',
        "hints given > rounds",
        "stalled or stalled(the door) or met(lamp)",
        "met(lamp) = lamp_lit",
    ],
)
def test_like_is_compared_with_like(written):
    """Conditions that make sense have no problems."""
    assert list(check_condition(parse_condition(written), FACTS, MILESTONES)) == []


@pytest.mark.parametrize(
    ("written", "problems"),
    [
        ("lamp_lid", [(0, "There is no fact `lamp_lid`. Did you mean `lamp_lit`?")]),
        ("lamp_lit and window", [(13, "Known: `lamp_lit`, `crates_open`, `sessions`, ")]),
        ("crates_open", [(0, "`crates_open > 0`")]),
        ("3", [(0, "is a number, not a yes or no")]),
        ("session time", [(0, "is a time, not a yes or no")]),
        ("not rounds", [(4, "is a number, not a yes or no")]),
        ("lamp_lit > 2", [(9, "cannot be compared")]),
        ("lamp_lit = 1", [(9, "`lamp_lit` or `not lamp_lit`")]),
        ("lamp_lit < no", [(9, "A yes or no cannot be `<` another")]),
        ("session time > 12", [(13, "A time needs its unit: `12 s`")]),
        ("session time > crates_open", [(13, "cannot be compared")]),
        ("lamp_lit + 1 = 2", [(9, "`+` cannot join them")]),
        ("session time + 3 > 4 s", [(13, "`+` cannot join them")]),
        ("crates_open - lamp_lit = 2", [(12, "`-` cannot join them")]),
        ("door", [(0, "is a name, not a yes or no. Compare it with one of its names")]),
        ('door = "halfopen"', [(7, "`door` is never `halfopen`. Did you mean `half open`?")]),
        ('"ajar" = door', [(0, "`door` is never `ajar`.")]),
        ("door = closed", [(7, 'Put it in quotes: `"closed"`')]),
        ("closed != door", [(0, 'Put it in quotes: `"closed"`')]),
        ("door = gate", [(5, "Compare a fact with one of its names in quotes")]),
        ('"open" = "open"', [(7, "Compare a fact with one of its names in quotes")]),
        ('door < "closed"', [(5, "A name cannot be `<` another")]),
        ('door + "closed" = 2', [(5, "`+` cannot join them")]),
        ('lamp_lit = "lit"', [(9, "is a name; they cannot be compared. Use it as it is")]),
        ('crates_open > "2"', [(12, "cannot be compared. Compare it with a number")]),
        ("door = 2", [(5, 'in quotes: `door = "closed"`')]),
        ("stalled(lam)", [(0, "There is no milestone `lam`. Did you mean `lamp`?")]),
        ("met(lamp) > 2", [(10, "cannot be compared")]),
        ("x = 1 or crates_open or y", [(0, "`x`"), (9, "`crates_open`"), (24, "`y`")]),
    ],
)
def test_what_makes_no_sense_is_told_all_at_once(written, problems):
    """Each unknown name and each unlike pair is one problem, at its offset."""
    found = list(check_condition(parse_condition(written), FACTS, MILESTONES))
    assert [problem.offset for problem in found] == [offset for offset, _ in problems]
    for problem, (_, said) in zip(found, problems, strict=True):
        assert said in str(problem)


def test_what_could_not_be_read_is_no_problem():
    """A fact without a form may be compared with anything; milestones that are unknown pass."""
    for written in ('lamp = "lit"', "lamp > 3", "lamp", "stalled(lamp) and stalled"):
        assert list(check_condition(parse_condition(written), {"lamp": None}, None)) == []
    (problem,) = check_condition(parse_condition("stalled"), FACTS, ())
    assert problem.message == "There are no milestones."


@pytest.mark.parametrize(
    ("written", "problems"),
    [
        ("3", []),
        ("crates_open + 1 - rounds", []),
        ("lamp_lit + (session time >= 12 min) + met(lamp)", []),
        ('5 - (door = "closed")', []),
        ("segment time", [(0, "`segment time` is a time")]),
        ("2 + (door - 1)", [(5, "`door` is a name")]),
        ("2 + (crates_open > door)", [(17, "cannot be compared")]),
        ("crate_open + stalled(lmap)", [(0, "`crate_open`"), (13, "`lmap`")]),
    ],
)
def test_a_strength_is_a_sum_of_numbers_and_of_what_holds(written, problems):
    """Unlike a condition, it adds what is a yes or no to numbers; times must be compared first."""
    found = list(check_signal(parse_condition(written), FACTS, MILESTONES))
    assert [problem.offset for problem in found] == [offset for offset, _ in problems]
    for problem, (_, said) in zip(found, problems, strict=True):
        assert said in str(problem)


WORDS = """a lamp_lit and or not yes no = != < <= > >= == + - ( ) 3 4_s 12_min h rounds time
session_time time_left stalled met hints_given door "half_open" . ' " # \x00 ٣ ſ"""
words = st.sampled_from(WORDS.split()).map(lambda word: word.replace("_", " "))


def problems_of(written):
    """What reading and checking say of a condition."""
    try:
        return list(check_condition(parse_condition(written), FACTS, MILESTONES))
    except UnreadableError as error:
        return [error]


@given(st.one_of(st.text(max_size=80), st.lists(words).map(" ".join)))
def test_any_text_is_a_condition_or_a_clear_error(written):
    """Nothing but a tree or sentences with an offset inside the text comes back."""
    for problem in problems_of(written):
        assert 0 <= problem.offset <= len(written)
        assert problem.message.endswith(".")
        assert not problem.mend or problem.mend[-1] in ".?"
