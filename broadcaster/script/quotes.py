"""What to say where quotes are wanted, or are not the straight ones that a script has."""

import re

CURLY = "“”„‟‘’‚‛"
"""The quotes that word processors make of straight ones; here they are letters."""

STRAIGHT = 'Use straight quotes: `"`.'
WHOLE_TEXT = "Put the whole text in quotes."

_OPENING = re.compile(rf"(?:^|[\s:{{\[,])[{CURLY}]")


def in_quotes(written: str, mend: str = WHOLE_TEXT) -> str:
    """How to put what is written in quotes; who has done so with curly ones needs others."""
    return STRAIGHT if _OPENING.search(written) else mend
