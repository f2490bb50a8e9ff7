"""Whether a condition makes sense: its facts exist, and like is compared with like."""

from collections.abc import Collection, Iterator, Mapping
from typing import Literal, TypeAlias, assert_never

from broadcaster.errors import UnreadableError
from broadcaster.script.conditions import (
    CLOCKS,
    COUNTS,
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
    Stalled,
    Sum,
    YesNoLiteral,
)
from broadcaster.script.facts import Fact, FactKind
from broadcaster.script.names import clipped, known_names

Kind: TypeAlias = FactKind | Literal["a time"]


def check_condition(
    expression: Expression,
    facts: Mapping[str, Fact | None],
    milestones: Collection[str] | None = (),
) -> Iterator[UnreadableError]:
    """Everything wrong with a condition, given the facts and the milestones' names.

    A fact that is None may be compared with anything; if `milestones` is None, any may be named.
    The errors are yielded, not raised, as there may be several.
    """
    checker = _Checker(facts, milestones)
    checker.want_yes_or_no(expression.root)
    yield from checker.problems


def check_signal(
    expression: Expression,
    facts: Mapping[str, Fact | None],
    milestones: Collection[str] | None = (),
) -> Iterator[UnreadableError]:
    """Everything wrong with a signal's strength, a sum in which what is a yes counts 1.

    Otherwise as check_condition().
    """
    checker = _Checker(facts, milestones)
    checker.want_strength(expression.root)
    yield from checker.problems


class _Checker:
    def __init__(
        self, facts: Mapping[str, Fact | None], milestones: Collection[str] | None
    ) -> None:
        self._facts = facts
        self._milestones = milestones
        self.problems: list[UnreadableError] = []

    def want_yes_or_no(self, node: Node) -> None:
        kind = self._kind(node)
        if kind not in (None, "a yes or no"):
            self._report(f"{_named(node)} is {kind}, not a yes or no.", self._use(node, kind), node)

    def want_strength(self, node: Node) -> None:
        if isinstance(node, Sum):
            self.want_strength(node.left)
            self.want_strength(node.right)
            return
        kind = self._kind(node)
        if kind in ("a time", "a name"):
            mend = f"{self._use(node, kind)} What holds counts 1."
            self._report(f"{_named(node)} is {kind}, which no strength can be.", mend, node)

    def _kind(self, node: Node) -> Kind | None:
        """What the node gives; None where that cannot be known because a part is wrong."""
        match node:
            case YesNoLiteral():
                return "a yes or no"
            case NumberLiteral() | NamedCount():
                return "a number"
            case DurationLiteral() | NamedTime():
                return "a time"
            case NameLiteral():
                return "a name"
            case FactName():
                return self._fact(node)
            case Stalled() | Met():
                self._check_milestone(node)
                return "a yes or no"
            case Not():
                self.want_yes_or_no(node.operand)
                return "a yes or no"
            case Both() | Either():
                self.want_yes_or_no(node.left)
                self.want_yes_or_no(node.right)
                return "a yes or no"
            case Comparison():
                self._compare(node)
                return "a yes or no"
            case Sum():
                return self._add(node)
            case _:
                assert_never(node)

    def _fact(self, node: FactName) -> Kind | None:
        if node.name not in self._facts:
            known = known_names(node.name, (*self._facts, *CLOCKS, *COUNTS))
            self._report(f"There is no fact `{node.name}`.", known, node)
            return None
        fact = self._facts[node.name]
        return fact.kind if fact else None

    def _check_milestone(self, node: Stalled | Met) -> None:
        name, known = node.milestone, self._milestones
        if known is not None and not known:
            self._report("There are no milestones.", "Add `milestones` to the script.", node)
        elif name is not None and known is not None and name not in known:
            self._report(f"There is no milestone {clipped(name)}.", known_names(name, known), node)

    def _compare(self, node: Comparison) -> None:
        for side, other in ((node.left, node.right), (node.right, node.left)):
            if (
                isinstance(side, FactName)
                and side.name not in self._facts
                and side.name in self._names_of(other)
            ):
                message = f"`{side.name}` is a name, not a fact."
                self._report(message, f'Put it in quotes: `"{side.name}"`.', side)
                return
        left, right = self._kind(node.left), self._kind(node.right)
        if left is None or right is None:
            return
        if left != right:
            self._report(
                f"{_named(node.left)} is {left}, {_named(node.right)} is {right};"
                " they cannot be compared.",
                self._unlike_mend(node, left, right),
                node,
            )
        elif left in ("a yes or no", "a name") and node.operator not in ("=", "!="):
            self._report(
                f"{left} cannot be `{node.operator}` another.", self._use(node.left, left), node
            )
        elif left == "a name":
            self._compare_names(node)

    def _compare_names(self, node: Comparison) -> None:
        """One side must be a fact, the other one of its names in quotes."""
        for side, other in ((node.left, node.right), (node.right, node.left)):
            if isinstance(side, NameLiteral) and isinstance(other, FactName):
                names = self._names_of(other)
                if side.value not in names:
                    self._report(
                        f"`{other.name}` is never {clipped(side.value)}.",
                        known_names(side.value, names),
                        side,
                    )
                return
        self._report(
            f"{_named(node.left)} and {_named(node.right)} cannot be compared.",
            "Compare a fact with one of its names in quotes.",
            node,
        )

    def _unlike_mend(self, node: Comparison, left: Kind, right: Kind) -> str:
        for side in (node.left, node.right):
            if isinstance(side, NumberLiteral) and "a time" in (left, right):
                return f"A time needs its unit: `{side.value} s` or `{side.value} min`."
        if isinstance(node.left, NumberLiteral | YesNoLiteral | DurationLiteral | NameLiteral):
            return self._use(node.right, right)
        return self._use(node.left, left)

    def _use(self, node: Node, kind: Kind) -> str:
        """How something of this kind is used."""
        name = node.name if isinstance(node, FactName | NamedTime | NamedCount) else None
        match kind:
            case "a yes or no":
                name = name or "lamp_lit"
                return f"Use it as it is: `{name}` or `not {name}`."
            case "a number":
                return f"Compare it with a number: `{name or 'crates_open'} > 0`."
            case "a name":
                held = (*self._names_of(node), "ajar")[0]
                return f'Compare it with one of its names in quotes: `{name or "door"} = "{held}"`.'
            case "a time":
                return f"Compare it with a time: `{name or 'session time'} >= 12 min`."

    def _names_of(self, node: Node) -> tuple[str, ...]:
        fact = self._facts.get(node.name) if isinstance(node, FactName) else None
        return fact.one_of if fact else ()

    def _add(self, node: Sum) -> Kind | None:
        left, right = self._kind(node.left), self._kind(node.right)
        if left is None or right is None:
            return None
        if left != right or left not in ("a number", "a time"):
            self._report(
                f"{_named(node.left)} is {left}, {_named(node.right)} is {right};"
                f" `{'+' if node.sign == 1 else '-'}` cannot join them.",
                "Two numbers can be added, or two times.",
                node,
            )
            return None
        return left

    def _report(self, message: str, mend: str, node: Node) -> None:
        self.problems.append(UnreadableError(message[0].upper() + message[1:], mend, node.offset))


def _named(node: Node) -> str:
    match node:
        case YesNoLiteral():
            return "`yes`" if node.value else "`no`"
        case NumberLiteral():
            return f"`{node.value}`"
        case FactName() | NamedTime() | NamedCount():
            return f"`{node.name}`"
        case NameLiteral():
            return f'`"{node.value}"`'
        case DurationLiteral():
            return "the duration"
        case Sum():
            return "the sum"
        case _:
            return "the part in parentheses"
