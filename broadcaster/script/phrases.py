"""The phrase dictionary of a programme: words that a voice says wrongly, spelled anew for it."""

import re
import unicodedata
from collections.abc import Iterable, Mapping


def respelled(text: str, phrases: Mapping[str, str]) -> str:
    """A text with each phrase as it is to be spoken, the longest first; what results stays.

    phrases: written to spoken. Whole words alone, capitals or not, any white space between them.
    """
    spoken = {_folded(written): spelling for written, spelling in phrases.items()}
    if not spoken:
        return text
    return _whole_words(spoken).sub(lambda found: spoken[_folded(found[0])], _composed(text))


def stands_in(phrase: str, texts: Iterable[str]) -> bool:
    """Whether a phrase is in one of the texts, where it would be respelled."""
    pattern = _whole_words([_folded(phrase)])
    return any(pattern.search(_composed(text)) for text in texts)


def _whole_words(phrases: Iterable[str]) -> re.Pattern[str]:
    longest_first = sorted(phrases, key=len, reverse=True)
    either = "|".join(r"\s+".join(map(re.escape, each.split())) for each in longest_first)
    # A border between words, for a phrase that begins or ends with a sign too, as `St.` does.
    return re.compile(rf"(?<!\w)(?:{either})(?!\w)", re.IGNORECASE)


def _folded(phrase: str) -> str:
    return " ".join(_composed(phrase).lower().split())


def _composed(text: str) -> str:
    return unicodedata.normalize("NFC", text)
