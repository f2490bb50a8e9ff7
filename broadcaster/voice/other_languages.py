"""Figures and spelling alphabets in German, French and Spanish: what a voice is given for each.

Their operators' words differ from country to country and from year to year; these are the words
in common use in the 1950s, all from memory. The German ones are those of the post office, which
became DIN 5009; `zwo` for 2 is common practice on the air, as it cannot be taken for `drei`. Where
espeak-ng 1.52 would say a word in English, its spelling differs, as `Berte` for Berthe.
"""

from collections.abc import Mapping

_FIGURES = "0123456789."
_LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


def _table(figures: str, letters: str) -> Mapping[str, str]:
    return dict(zip(_FIGURES + _LETTERS, [*figures.split(), *letters.split()], strict=True))


SPELLINGS: Mapping[str, Mapping[str, str]] = {
    "de": _table(
        "null eins zwo drei vier fünf sechs sieben acht neun Komma",
        "Anton Berta Cäsar Dora Emil Friedrich Gustav Heinrich Ida Julius Kaufmann Ludwig Martha "
        "Nordpol Otto Paula Quelle Richard Samuel Theodor Ulrich Viktor Wilhelm Xanthippe Ypsilon "
        "Zacharias",
    ),
    "fr": _table(
        "zéro un deux trois quatre cinq six sept huit neuf virgule",
        "Anatole Berte Célestin Désiré Eugène François Gaston Henri Irma Joseph Kléber Louis "
        "Marcel Nicolas Oscar Pierre Quintal Raoul Suzanne Thérèse Ursule Victor Ouiliam Xavier "
        "Yvonne Zoé",
    ),
    "es": _table(
        "cero uno dos tres cuatro cinco seis siete ocho nueve coma",
        "Antonio Barcelona Carmen Dolores Enrique Francia Gerona Historia Inés José Kilo Lorenzo "
        "Madrid Navarra Oviedo París Querido Ramón Sábado Tarragona Ulises Valencia Washington "
        "Xiquena Yegua Zaragoza",
    ),
}
"""By language (ISO 639-1): figure, point or capital letter to the word that says it."""
