"""Words and signals of real emergencies: what a writer should think about before using them."""

import re
from collections.abc import Iterator

from broadcaster.errors import Fault
from broadcaster.script.names import clipped
from broadcaster.script.programme import Item, Morse, Say, Spell, copy_of
from broadcaster.script.scene import Scene, Written
from broadcaster.script.template import Template

# 47 CFR 80.314 and 80.334, Radio Regulations Art. 32 and 33 (false distress, urgency and safety
# signals); 47 CFR 11.31 and 11.45 (ZCZC and NNNN, the codes of the Emergency Alert System).
_SIGNALS = {
    "SOS": "a distress signal",
    "MAYDAY": "a distress signal",
    "PAN PAN": "an urgency signal",
    "SECURITE": "a safety signal",
    "ZCZC": "a code of public warning systems",
    "NNNN": "a code of public warning systems",
}
_SIGNAL = re.compile(r"\b(SOS|MAYDAY|PAN[ -]PAN|S[EÉ]CURIT[EÉ]|ZCZC|NNNN)\b", re.IGNORECASE)


def text_cautions(scene: Scene) -> Iterator[Fault]:
    """Emergency words in what is spoken or sent in Morse code; advice, as local rules decide."""
    for part in scene.items():
        if isinstance(part.form, Say | Spell | Morse):
            yield from _cautions(part.form, part)


def _cautions(item: Item, part: Written[Item]) -> Iterator[Fault]:
    text = copy_of(item)
    if not isinstance(text, Template):
        return
    for found in _SIGNAL.finditer(text.source):
        name = found[0].upper().replace("-", " ").replace("É", "E")
        yield part.fault(
            item.kind,
            f"{clipped(found[0])} is {_SIGNALS[name]}; to imitate one on the air is forbidden in"
            " many places, however weak the transmitter.",
            "Local rules decide; leave it out, or invent a signal of your own.",
            found.start(),
        )
