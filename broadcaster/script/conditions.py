"""The language of conditions: `lamp_lit and (crates_open > 2 or session time >= 12 min)`.

parse_condition() turns text into a tree (condition_tree.py), which the story evaluates; types and
names are checked against the programme's facts by condition_types.check_condition().

    either      both { "or" both }                        loosest
    both        opposite { "and" opposite }
    opposite    "not" opposite | comparison
    comparison  sum [ ( = | != | < | <= | > | >= ) sum ]
    sum         operand { ( + | - ) operand }             tightest
    operand     "(" either ")" | yes | no | 3 | -3 | 1 h 10 min | "a name" | fact
                | named time or count | stalled | stalled(MILESTONE) | met(MILESTONE)
"""

from typing import Literal

from broadcaster.errors import UnreadableError
from broadcaster.script.condition_tree import (
    CLOCKS,
    COUNTS,
    RESERVED,
    Both,
    Comparison,
    DurationLiteral,
    Either,
    Expression,
    FactName,
    Met,
    NamedCount,
    NamedTime,
    NameLiteral,
    Node,
    Not,
    NumberLiteral,
    Operator,
    Stalled,
    Sum,
    YesNoLiteral,
)
from broadcaster.script.condition_words import Word, words_of
from broadcaster.script.durations import UNITS_S, seconds_of
from broadcaster.script.quotes import CURLY, STRAIGHT
from broadcaster.units import frames_from_seconds

__all__ = [
    "CLOCKS",
    "COUNTS",
    "RESERVED",
    "Both",
    "Comparison",
    "DurationLiteral",
    "Either",
    "Expression",
    "FactName",
    "Met",
    "NameLiteral",
    "NamedCount",
    "NamedTime",
    "Node",
    "Not",
    "NumberLiteral",
    "Operator",
    "Stalled",
    "Sum",
    "YesNoLiteral",
    "parse_condition",
]

MOST_CHARACTERS = 1000
MOST_NESTING = 30


def parse_condition(value: object) -> Expression:
    """Read a condition. Raises UnreadableError with the offset of what cannot be understood."""
    if isinstance(value, Expression):
        return value
    if not isinstance(value, str):
        raise UnreadableError("A condition is wanted here.", _EXAMPLE)
    if len(value) > MOST_CHARACTERS:
        raise UnreadableError(
            f"A condition of {len(value)} characters is too long.",
            f"Up to {MOST_CHARACTERS} are allowed.",
        )
    return Expression(value, _Reader(value).whole())


_EXAMPLE = "Write what must hold, such as `lamp_lit` or `crates_open > 2`."
_VALUE_WANTED = "Here stands a fact, a number, a time, `yes`, `no` or something in parentheses."
_END_WANTED = "After a value comes a comparison, `+`, `-`, `and`, `or` or the end."
_OTHER_SPELLINGS = {
    "==": "=",
    "=<": "<=",
    "=>": ">=",
    "<>": "!=",
    "&&": "and",
    "||": "or",
    "!": "not",
    "≤": "<=",
    "≥": ">=",
    "≠": "!=",
    "is": "=",
    "is not": "!=",
}
_OPERATORS: dict[str, Operator] = {
    operator: operator for operator in ("=", "!=", "<", "<=", ">", ">=")
}
_SIGNS: dict[str, Literal[1, -1]] = {"+": 1, "-": -1}


class _Reader:
    """Reads a condition from left to right, each rule of the grammar a method."""

    def __init__(self, source: str) -> None:
        self._words = words_of(source)
        self._position = 0
        self._nesting = 0

    def whole(self) -> Node:
        if self._next.kind == "end":
            raise UnreadableError("A condition is missing.", _EXAMPLE)
        root = self._either()
        if self._next.kind != "end":
            raise self._unexpected(_END_WANTED)
        return root

    @property
    def _next(self) -> Word:
        return self._words[self._position]

    def _take(self) -> Word:
        taken = self._next
        self._position += 1
        return taken

    def _comes(self, *texts: str) -> bool:
        return self._next.kind in ("name", "mark") and self._next.text in texts

    def _either(self) -> Node:
        left = self._both()
        while self._comes("or"):
            offset = self._take().offset
            left = Either(left, self._both(), offset)
        return left

    def _both(self) -> Node:
        left = self._opposite()
        while self._comes("and"):
            offset = self._take().offset
            left = Both(left, self._opposite(), offset)
        return left

    def _opposite(self) -> Node:
        if not self._comes("not"):
            return self._comparison()
        self._go_deeper()
        offset = self._take().offset
        operand = self._opposite()
        self._nesting -= 1
        return Not(operand, offset)

    def _comparison(self) -> Node:
        left = self._sum()
        if not self._comes(*_OPERATORS):
            return left
        operator = self._take()
        right = self._sum()
        if self._comes(*_OPERATORS):
            raise UnreadableError(
                "Two comparisons stand in a row.",
                "Join them with `and`: `crates_open > 1 and crates_open < 4`.",
                self._next.offset,
            )
        return Comparison(_OPERATORS[operator.text], left, right, operator.offset)

    def _sum(self) -> Node:
        left = self._operand()
        while self._comes(*_SIGNS):
            sign = self._take()
            left = Sum(_SIGNS[sign.text], left, self._operand(), sign.offset)
        return left

    def _operand(self) -> Node:
        word = self._next
        if self._comes("("):
            return self._parenthesis()
        if self._comes("-") and self._words[self._position + 1].kind == "number":
            self._take()
            return NumberLiteral(-_number(self._take()), word.offset)
        if word.kind in ("end", "mark") or self._comes("and", "or", "not"):
            raise self._unexpected(_VALUE_WANTED)
        self._take()
        match word.kind:
            case "number":
                return NumberLiteral(_number(word), word.offset)
            case "duration":
                return DurationLiteral(_frames(word), word.offset)
            case "clock":
                return NamedTime(" ".join(word.text.split()), word.offset)
            case "count":
                return NamedCount(" ".join(word.text.split()), word.offset)
            case "quoted":
                return NameLiteral(word.text[1:-1], word.offset)
            case "asked":
                return _milestone(word)
        if word.text in ("yes", "no"):
            return YesNoLiteral(word.text == "yes", word.offset)
        return FactName(word.text, word.offset)

    def _parenthesis(self) -> Node:
        self._go_deeper()
        opened = self._take()
        inner = self._either()
        if self._next.kind == "end":
            raise UnreadableError("A `(` is never closed.", "Add a `)`.", opened.offset)
        if not self._comes(")"):
            raise self._unexpected(_END_WANTED)
        self._take()
        self._nesting -= 1
        return inner

    def _go_deeper(self) -> None:
        self._nesting += 1
        if self._nesting > MOST_NESTING:
            raise UnreadableError(
                f"The condition is nested deeper than {MOST_NESTING} levels.",
                "Write it with fewer parentheses.",
                self._next.offset,
            )

    def _unexpected(self, wanted: str) -> UnreadableError:
        word = self._next
        before = self._words[self._position - 1] if self._position else None
        if word.kind == "end":
            return UnreadableError(
                "The condition ends too soon.", "Finish it, or take its last word out.", word.offset
            )
        if word.text in ("'", '"'):
            return UnreadableError(
                "A quoted name begins here and is never closed.",
                "Add the closing quote.",
                word.offset,
            )
        if word.text in CURLY:
            return UnreadableError(f"`{word.text}` is not a quote here.", STRAIGHT, word.offset)
        two_words = f"{word.text} {self._words[self._position + 1].text}"
        spelling = two_words if two_words in _OTHER_SPELLINGS else word.text
        if spelling in _OTHER_SPELLINGS:
            return UnreadableError(
                f"`{spelling}` is not known here.",
                f"Write `{_OTHER_SPELLINGS[spelling]}`.",
                word.offset,
            )
        if before and before.kind in ("number", "duration") and word.kind == "name":
            return UnreadableError(
                f"`{word.text}` is not a unit of time.",
                f"The units are {', '.join(UNITS_S)}: `1 h 10 min`.",
                word.offset,
            )
        return UnreadableError(f"`{word.text}` cannot stand here.", wanted, word.offset)


def _milestone(word: Word) -> Stalled | Met:
    name = (word.milestone or "").strip()
    if word.text == "stalled":
        return Stalled(None, word.offset)
    if not name:
        raise UnreadableError(
            f"`{word.text}` names no milestone.", "Write its name: `met(lamp)`.", word.offset
        )
    if word.text.startswith("stalled"):
        return Stalled(name, word.offset)
    return Met(name, word.offset)


def _number(word: Word) -> int:
    if "." in word.text or len(word.text) > 9:
        raise UnreadableError(
            f"`{word.text}` is not a whole number of up to nine figures.",
            "Write it in figures, such as `3`; a time needs its unit, such as `1.5 s`.",
            word.offset,
        )
    return int(word.text)


def _frames(word: Word) -> int:
    try:
        return frames_from_seconds(seconds_of(word.text))
    except UnreadableError as error:
        raise error.moved(word.offset) from None
