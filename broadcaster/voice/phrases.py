"""The phrase dictionary of a programme: words that a voice says wrongly, spelled anew for it."""

import re
import unicodedata
from collections.abc import Mapping


def respelled(text: str, phrases: Mapping[str, str]) -> str:
    """A text with each phrase as it is to be spoken, the longest first; what results stays.

    phrases: written to spoken. Whole words alone, capitals or not, any white space between them.
    """
    spoken = {_folded(written): spelling for written, spelling in phrases.items()}
    if not spoken:
        return text
    longest_first = sorted(spoken, key=len, reverse=True)
    either = "|".join(r"\s+".join(map(re.escape, each.split())) for each in longest_first)
    # A border between words, for a phrase that begins or ends with a sign too, as `St.` does.
    whole_words = re.compile(rf"(?<!\w)(?:{either})(?!\w)", re.IGNORECASE)
    composed = unicodedata.normalize("NFC", text)
    return whole_words.sub(lambda found: spoken[_folded(found[0])], composed)


def _folded(phrase: str) -> str:
    return " ".join(unicodedata.normalize("NFC", phrase).lower().split())
