"""Whether the venue's lamp would flash too fast with what the script sends."""

from collections.abc import Iterator

from broadcaster.air.timing import marks_of
from broadcaster.errors import Fault
from broadcaster.room.lamp_flashes import SAFE_FLASHES, most_flashes, slowed
from broadcaster.script.loading import Examination
from broadcaster.script.programme import Morse, copy_of
from broadcaster.script.scene import Scene
from broadcaster.script.template import Template
from broadcaster.script.tree import Mapping
from broadcaster.script.venue_settings import LampSettings, VenueSettings

_ANY_TEXT = "5"
"""What values will be filled in is not known: five dots in a row are the fastest that can come."""


def flash_advice(settings: VenueSettings, examination: Examination) -> Iterator[Fault]:
    """Morse with which the lamp would flash more often than is safe, item by item."""
    programme, tree = examination.programme, examination.tree
    if settings.lamp is None or programme is None or not isinstance(tree, Mapping):
        return
    for part in Scene(programme, tree, programme.folder).items():
        if isinstance(part.form, Morse):
            flashes = _flashes(part.form, settings.lamp)
            if flashes > SAFE_FLASHES:
                yield part.fault(
                    part.form.kind,
                    f"With this the lamp flashes {flashes} times within a second; more than "
                    f"{SAFE_FLASHES} can harm people with photosensitive epilepsy "
                    "(WCAG 2.2, 2.3.1).",
                    f"Write `at most: {SAFE_FLASHES}` under `lamp` in the settings, or send it at "
                    "7 wpm or slower.",
                )


def _flashes(item: Morse, lamp: LampSettings) -> int:
    """The most flashes within a second, of the lamp as it is set."""
    copy = copy_of(item)
    known = isinstance(copy, Template) and not (copy.facts or copy.times)
    text = copy.fill(str) if isinstance(copy, Template) and known else _ANY_TEXT
    marks = marks_of(item, text)
    return most_flashes(marks if lamp.at_most is None else slowed(marks, lamp.at_most))
