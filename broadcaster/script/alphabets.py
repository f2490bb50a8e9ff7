"""The alphabets that a writer may draw on, as tables: Morse code, its signals, and notes."""

import re
from dataclasses import dataclass

from broadcaster.errors import UnreadableError

# Rec. ITU-R M.1677-1 (10/2009), Annex 1, Part I, 1.1: 51 characters.
MORSE: dict[str, str] = {
    # 1.1.1 letters
    "A": ".-",
    "B": "-...",
    "C": "-.-.",
    "D": "-..",
    "E": ".",
    "É": "..-..",
    "F": "..-.",
    "G": "--.",
    "H": "....",
    "I": "..",
    "J": ".---",
    "K": "-.-",
    "L": ".-..",
    "M": "--",
    "N": "-.",
    "O": "---",
    "P": ".--.",
    "Q": "--.-",
    "R": ".-.",
    "S": "...",
    "T": "-",
    "U": "..-",
    "V": "...-",
    "W": ".--",
    "X": "-..-",
    "Y": "-.--",
    "Z": "--..",
    # 1.1.2 figures
    "1": ".----",
    "2": "..---",
    "3": "...--",
    "4": "....-",
    "5": ".....",
    "6": "-....",
    "7": "--...",
    "8": "---..",
    "9": "----.",
    "0": "-----",
    # 1.1.3 punctuation marks and miscellaneous signs
    ".": ".-.-.-",
    ",": "--..--",
    ":": "---...",
    "?": "..--..",
    "'": ".----.",
    "-": "-....-",
    "/": "-..-.",
    "(": "-.--.",
    ")": "-.--.-",
    '"': ".-..-.",
    "=": "-...-",
    "+": ".-.-.",
    "×": "-..-",
    "@": ".--.-.",
}
"""Character to its dots and dashes. Letters are capitals; small ones are sent alike."""


@dataclass(frozen=True, slots=True)
class Prosign:
    """A procedure signal: sent as one character, without gaps between its letters."""

    code: str
    meaning: str


_UNDERSTOOD = Prosign("...-.", "understood")
_ERROR = Prosign("........", "error")
_END_OF_WORK = Prosign("...-.-", "end of work")
_STARTING = Prosign("-.-.-", "starting signal")

# Codes and meanings: Rec. ITU-R M.1677-1, 1.1.3; the names are those in common use.
PROSIGNS: dict[str, Prosign] = {
    "AR": Prosign(".-.-.", "cross, or end of message"),
    "AS": Prosign(".-...", "wait"),
    "CT": _STARTING,
    "ERR": _ERROR,
    "HH": _ERROR,
    "K": Prosign("-.-", "invitation to transmit"),
    "KA": _STARTING,
    "SK": _END_OF_WORK,
    "SN": _UNDERSTOOD,
    "VA": _END_OF_WORK,
    "VE": _UNDERSTOOD,
}
"""Name to signal; a writer puts the name in angle brackets: `<AR>`."""

_SENT = MORSE | {character.lower(): code for character, code in MORSE.items()}
# Per cent and per thousand are sent as fractions, joined to a number before them by a hyphen
# (M.1677-1, Part I, 3; the clause on the hyphen from memory).
_FRACTIONS = {"%": "0/0", "‰": "0/00"}
_ALLOWED = (
    "Morse code has the letters A to Z and É, the figures, "
    + " ".join(character for character in MORSE if not character.isalnum())
    + " % ‰ and signals such as `<AR>`."
)
_PROSIGNS_ALLOWED = f"The signals are {', '.join(f'<{name}>' for name in PROSIGNS)}."
_PIECE = re.compile(r"(?P<space>\s+)|<(?P<prosign>[^<>]*)>|(?P<character>.)", re.DOTALL)


@dataclass(frozen=True, slots=True)
class MorseSymbol:
    """One character or signal of a message: as written, and its dots and dashes."""

    written: str
    code: str


def morse_symbols(text: str) -> list[list[MorseSymbol]]:
    """A message as words, each a list of symbols; white space parts words, `<AR>` is one symbol.

    Raises UnreadableError at the first character or signal that Morse code does not have, and for a
    text with nothing to send.
    """
    words: list[list[MorseSymbol]] = [[]]
    for piece in _PIECE.finditer(text):
        if piece["space"]:
            words.append([])
        elif piece["prosign"] is not None:
            words[-1].append(_prosign(piece["prosign"], piece.start()))
        else:
            if piece["character"] == "<":
                raise _never_closed(text, piece.start())
            words[-1].extend(_characters(piece["character"], piece.start(), words[-1]))
    sent = [word for word in words if word]
    if not sent:
        raise UnreadableError("There is nothing to send.", _ALLOWED)
    return sent


def _never_closed(text: str, offset: int) -> UnreadableError:
    name = text[offset + 1 :].split()
    meant = name[0].upper() if name and name[0].upper() in PROSIGNS else "AR"
    return UnreadableError(
        "A signal begins here with `<`, and its `>` is missing.", f"Write `<{meant}>`.", offset
    )


def _prosign(name: str, offset: int) -> MorseSymbol:
    found = PROSIGNS.get(name.strip().upper())
    if found is None:
        raise UnreadableError(f"Morse code has no signal `<{name}>`.", _PROSIGNS_ALLOWED, offset)
    return MorseSymbol(f"<{name.strip().upper()}>", found.code)


def _characters(character: str, offset: int, before: list[MorseSymbol]) -> list[MorseSymbol]:
    sent = _FRACTIONS.get(character, character)
    if sent != character and before and before[-1].written.isdecimal():
        sent = "-" + sent
    if any(each not in _SENT for each in sent):
        raise UnreadableError(f"Morse code has no character {shown(character)}.", _ALLOWED, offset)
    return [MorseSymbol(each.upper(), _SENT[each]) for each in sent]


def shown(character: str) -> str:
    """A character as a sentence can show it: in backticks, by number if it cannot be seen."""
    return f"`{character}`" if character.isprintable() else f"U+{ord(character):04X}"


# --- notes --------------------------------------------------------------------------------------

REST = "rest"
"""What stands for silence in a tune."""
LOWEST_OCTAVE, HIGHEST_OCTAVE = 2, 7

_A4_HERTZ = 440.0  # ISO 16:1975
_A4_SEMITONES = 4 * 12 + 9
_SEMITONES = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
_ACCIDENTALS = {"": 0, "#": 1, "b": -1}
_NOTE = re.compile(rf"([A-G])([#b]?)([{LOWEST_OCTAVE}-{HIGHEST_OCTAVE}])")


def note_hertz(name: str) -> float:
    """The pitch of a note such as `G4`, `C#5`, `Bb3`: equal temperament, A4 = 440 Hz (ISO 16).

    Octaves 2 to 7, each from C to B. Raises UnreadableError for anything else, `rest` too.
    """
    found = _NOTE.fullmatch(name)
    if not found:
        raise UnreadableError(
            f"`{name}` is no note.",
            "A note is a letter A to G, # or b if need be, and an octave from "
            f"{LOWEST_OCTAVE} to {HIGHEST_OCTAVE}: `G4`, `C#5`, `Bb3`; silence is `{REST}`.",
        )
    letter, accidental, octave = found.groups()
    semitones = _SEMITONES[letter] + _ACCIDENTALS[accidental] + 12 * int(octave)
    return float(_A4_HERTZ * 2.0 ** ((semitones - _A4_SEMITONES) / 12))
