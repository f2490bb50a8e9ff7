"""The manual's page about sounds, made from the forms: each row with its keys and what they do."""

from collections.abc import Iterator
from inspect import getdoc
from itertools import chain
from typing import Literal, get_args

from broadcaster.script.annotations import (
    Wanted,
    all_marks,
    fields,
    inside,
    kinds,
    opened,
    origin_of,
)
from broadcaster.script.facts import plain
from broadcaster.script.forms import Form
from broadcaster.script.schema import docs_of_keys
from broadcaster.script.shapes import Shape
from broadcaster.script.sounds import AnyProcessor
from broadcaster.script.values import Unit, written_hertz
from broadcaster.script.wording import bounds_of

_HEAD = """\
# The rows of a period sound

A sound is a table of rows, through which the broadcast passes from the first to the last. Those
that ship stand in `broadcaster/period/sounds.yaml`; one of your own stands in the script, at its
top, and the station names it:

```yaml
station: {callsign: Heron, frequency: 91.3 MHz, voice: keeper, sound: the old set}
sounds:
  the old set:
    about: The set in the parlour, its dial light flickering.
    processors:
      - band: 200 Hz to 3 kHz
        slope: 12 dB
      - hiss: -46 dB
      - hum: -50 dB
        mains: 50 Hz
```

A row begins with its kind; what stands behind that is needed, the other keys are not. Levels are
against full scale, and speech comes in at an RMS of -20 dB. What your rows make of a sentence is
drawn by `broadcaster sounds SCRIPT --picture sounds.svg`.
"""


def sounds_page() -> str:
    """The page as Markdown."""
    rows = (_row(kind, form) for kind, form in kinds(AnyProcessor).items())
    return "\n".join([_HEAD, *chain.from_iterable(rows)])


def _row(kind: str, form: type[Form]) -> Iterator[str]:
    """One row: what it is, and a table of its keys."""
    docs = docs_of_keys(form)
    yield f"## `{kind}`\n"
    yield f"{_in_a_line(getdoc(form) or '')}\n"
    yield "| key | can be | without it | what it is |"
    yield "|---|---|---|---|"
    for key, field in fields(form).items():
        wanted = inside(form, key)
        default = "" if field.is_required() else _written(wanted, field.default)
        yield f"| `{key}` | {_choice(wanted)} | {default} | {_in_a_line(docs[key])} |"
    yield ""


def _choice(wanted: Wanted) -> str:
    """What can be written behind a key: its bounds, its words, or else an example."""
    bare, _ = opened(wanted)
    if bare is bool:
        return "`yes`, `no`"
    if origin_of(bare) is Literal:
        return ", ".join(f"`{each}`" for each in get_args(bare))
    examples = [mark.example for mark in all_marks(wanted) if isinstance(mark, Shape)]
    return bounds_of(wanted) or (f"as `{examples[-1]}`" if examples else "a list")


def _written(wanted: Wanted, value: object) -> str:
    """A value that holds if nothing is written, as it would be written."""
    match value:
        case bool() | str():
            return plain(value)
        case int() | float():
            unit = next((mark for mark in all_marks(wanted) if isinstance(mark, Unit)), None)
            return unit.written(value) if unit else str(value)
        case (float(low_hz), float(high_hz)):
            return f"{written_hertz(low_hz)} to {written_hertz(high_hz)}"
        case tuple():
            return ", ".join(_written(inside(wanted, 0), each) for each in value)
    return "none"


def _in_a_line(text: str) -> str:
    return " ".join(text.split())
