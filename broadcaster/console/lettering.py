"""Large lettering, three rows high: capitals and figures that are read from across the room."""

import unicodedata
from functools import lru_cache

ROWS = 3
"""Rows that a line of lettering takes in single size."""

_GLYPHS = {
    " ": ".. .. .. .. ..",
    "A": ".#. #.# ### #.# #.#",
    "B": "##. #.# ##. #.# ##.",
    "C": ".## #.. #.. #.. .##",
    "D": "##. #.# #.# #.# ##.",
    "E": "### #.. ##. #.. ###",
    "F": "### #.. ##. #.. #..",
    "G": ".### #... #.## #..# .###",
    "H": "#.# #.# ### #.# #.#",
    "I": "### .#. .#. .#. ###",
    "J": "..# ..# ..# #.# .#.",
    "K": "#.# #.# ##. #.# #.#",
    "L": "#.. #.. #.. #.. ###",
    "M": "#...# ##.## #.#.# #...# #...#",
    "N": "#..# ##.# #.## #..# #..#",
    "O": ".##. #..# #..# #..# .##.",
    "P": "##. #.# ##. #.. #..",
    "Q": ".##. #..# #..# #.#. .#.#",
    "R": "##. #.# ##. #.# #.#",
    "S": ".## #.. .#. ..# ##.",
    "T": "### .#. .#. .#. .#.",
    "U": "#.# #.# #.# #.# ###",
    "V": "#.# #.# #.# #.# .#.",
    "W": "#...# #...# #.#.# ##.## #...#",
    "X": "#.# #.# .#. #.# #.#",
    "Y": "#.# #.# .#. .#. .#.",
    "Z": "### ..# .#. #.. ###",
    "0": "### #.# #.# #.# ###",
    "1": ".#. ##. .#. .#. ###",
    "2": "### ..# ### #.. ###",
    "3": "### ..# .## ..# ###",
    "4": "#.# #.# ### ..# ..#",
    "5": "### #.. ### ..# ###",
    "6": "### #.. ### #.# ###",
    "7": "### ..# ..# .#. .#.",
    "8": "### #.# ### #.# ###",
    "9": "### #.# ### ..# ###",
    ".": ". . . . #",
    ",": ".. .. .. .# .# #.",
    ":": ". # . # .",
    ";": ".. .# .. .# .# #.",
    "!": "# # # . #",
    "?": "### ..# .#. ... .#.",
    "'": "# # . . .",
    '"': "#.# #.# ... ... ...",
    "-": "... ... ### ... ...",
    "+": "... .#. ### .#. ...",
    "=": "... ### ... ### ...",
    "/": "..# ..# .#. #.. #..",
    "(": ".# #. #. #. .#",
    ")": "#. .# .# .# #.",
    "<": "..# .#. #.. .#. ..#",
    ">": "#.. .#. ..# .#. #..",
    "#": ".#.#. ##### .#.#. ##### .#.#.",
    "&": ".#.. #.#. .#.. #.#. .#.#",
    "%": "#.# ..# .#. #.. #.#",
    "*": "... #.# .#. #.# ...",
}
"""Each letter as rows of dots, top first; a sixth row hangs below the line."""

_ALIKE = str.maketrans({"‘": "'", "’": "'", "“": '"', "”": '"', "–": "-", "—": "-", "…": "."})
_BLOCKS = {(False, False): " ", (True, False): "▀", (False, True): "▄", (True, True): "█"}


def _letter(letter: str) -> str:
    """The capital without its accent that stands for a letter; or the letter itself."""
    capital = letter.translate(_ALIKE).upper()
    return unicodedata.normalize("NFKD", capital)[:1] if capital not in _GLYPHS else capital


@lru_cache(maxsize=256)
def _dots(letter: str) -> list[str]:
    rows = _GLYPHS[_letter(letter)].split()
    return rows + ["." * len(rows[0])] * (2 * ROWS - len(rows))


def can_be_set(text: str) -> bool:
    """Whether every letter of the text exists in large."""
    return all(_letter(letter) in _GLYPHS for letter in text)


def columns_of(text: str, scale: int = 1) -> int:
    """The columns that the text takes in large: its letters, and a gap between two."""
    return scale * (sum(len(_dots(letter)[0]) + 1 for letter in text) - 1) if text else 0


def rows_of(scale: int = 1) -> int:
    """The rows that one line takes."""
    return ROWS * scale


@lru_cache(maxsize=64)
def set_large(text: str, scale: int = 1) -> tuple[str, ...]:
    """The text in rows of half blocks. Raises KeyError for what can_be_set() refuses."""
    letters = [_dots(letter) for letter in text]
    dots = [".".join(rows[number] for rows in letters) for number in range(2 * ROWS)]
    wide = ["".join(dot * scale for dot in row) for row in dots for _ in range(scale)]
    return tuple(
        "".join(
            _BLOCKS[above == "#", below == "#"]
            for above, below in zip(wide[number], wide[number + 1], strict=True)
        )
        for number in range(0, len(wide), 2)
    )
