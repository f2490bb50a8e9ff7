"""Times as they are spoken, and yes and no, in each language that a programme may have.

The time of day is said by the 24-hour clock, as stations do: twenty-one hours oh five. A length of
time is said in whole minutes, and in tens of seconds where it is short; the nearest, since an item
seldom begins on the second. The wording is ours.
"""

from datetime import datetime, timedelta

SHORT_S = 95
"""Lengths of time below this are said with their seconds. Chosen by ear."""
EARLY_S = 5
"""So long before a minute its number is said: the frame count may be a little behind the clock on
the wall, and after a time signal the new hour is told."""

_ONES = {
    "en": "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen"
    " fifteen sixteen seventeen eighteen nineteen",
    "de": "null ein zwei drei vier fünf sechs sieben acht neun zehn elf zwölf dreizehn vierzehn"
    " fünfzehn sechzehn siebzehn achtzehn neunzehn",
    "fr": "zéro un deux trois quatre cinq six sept huit neuf dix onze douze treize quatorze quinze"
    " seize dix-sept dix-huit dix-neuf",
    "es": "cero un dos tres cuatro cinco seis siete ocho nueve diez once doce trece catorce quince"
    " dieciséis diecisiete dieciocho diecinueve veinte veintiún veintidós veintitrés veinticuatro"
    " veinticinco veintiséis veintisiete veintiocho veintinueve",
}
_TENS = {
    "en": "twenty thirty forty fifty",
    "de": "zwanzig dreißig vierzig fünfzig",
    "fr": "vingt trente quarante cinquante",
    "es": "veinte treinta cuarenta cincuenta",
}
_JOINTS = {"en": "{tens}-{ones}", "de": "{ones}und{tens}", "fr": "{tens}-{ones}"} | {
    "es": "{tens} y {ones}"
}
_UNITS = {
    "en": {"hour": "hour hours", "minute": "minute minutes", "second": "second seconds"},
    "de": {"hour": "Stunde Stunden", "minute": "Minute Minuten", "second": "Sekunde Sekunden"},
    "fr": {"hour": "heure heures", "minute": "minute minutes", "second": "seconde secondes"},
    "es": {"hour": "hora horas", "minute": "minuto minutos", "second": "segundo segundos"},
}
_AND = {"en": "and", "de": "und", "fr": "et", "es": "y"}
_YES_NO = {"en": ("yes", "no"), "de": ("ja", "nein"), "fr": ("oui", "non"), "es": ("sí", "no")}


def yes_or_no(value: bool, language: str) -> str:
    """A yes or a no."""
    return _YES_NO[language][0 if value else 1]


def number(count: int, language: str, unit: str = "minute") -> str:
    """A count of hours, minutes or seconds as a word before its unit; 0 to 59."""
    said = _cardinal(count, language)
    if language == "de" and count == 1:
        return "eine"
    if language == "fr" and said.endswith("un"):  # all three are feminine
        return said + "e"
    if language == "es" and unit == "hour" and count % 10 == 1 and count != 11:
        return said.removesuffix("ún").removesuffix("un") + "una"
    return said


def _cardinal(count: int, language: str) -> str:
    ones, tens = _ONES[language].split(), _TENS[language].split()
    if count < len(ones):
        return ones[count]
    ten, one = tens[count // 10 - 2], ones[count % 10]
    if count % 10 == 0:
        return ten
    if language == "fr" and count % 10 == 1:
        return f"{ten} et {one}"
    return _JOINTS[language].format(tens=ten, ones=one)


def _counted(count: int, unit: str, language: str) -> str:
    singular, plural = _UNITS[language][unit].split()
    one = count == 1 or (language == "fr" and count == 0)
    return f"{number(count, language, unit)} {singular if one else plural}"


def length_said(seconds: float, language: str) -> str:
    """A length of time: `one hour and five minutes`, `fifteen minutes`, `forty seconds`."""
    tens = round(max(0.0, seconds) / 10)
    if seconds < SHORT_S:
        minutes, rest = divmod(tens * 10, 60)
        parts = [(minutes, "minute"), (rest, "second")]
    else:
        parts = [*zip(divmod(round(seconds / 60), 60), ("hour", "minute"), strict=True)]
    said = [_counted(count, unit, language) for count, unit in parts if count]
    return f" {_AND[language]} ".join(said) or _counted(0, "second", language)


def clock_said(moment: datetime, language: str) -> str:
    """The time of day: `twenty-one hours oh five`, `twenty-one hours`."""
    shown = minute_of(moment)
    hour, minute = shown.hour, shown.minute
    if language == "de":
        hours = f"{_cardinal(hour, 'de')} Uhr"
        ones = "eins" if minute == 1 else _cardinal(minute, "de")
        return f"{hours} {ones}" if minute else hours
    hours = _counted(hour, "hour", language)
    if not minute:
        return hours
    if language == "en" and minute < 10:
        return f"{hours} oh {number(minute, 'en')}"
    joint = " y " if language == "es" else " "
    return f"{hours}{joint}{_minute_of_hour(minute, language)}"


def _minute_of_hour(minute: int, language: str) -> str:
    """The minutes alone, after the hours: Spanish says `uno` where no noun follows."""
    said = number(minute, language)
    if language == "es" and minute % 10 == 1 and minute != 11:
        return said.removesuffix("ún").removesuffix("un") + "uno"
    return said


def minute_of(moment: datetime) -> datetime:
    """The minute that a clock shows, or is about to show."""
    return (moment + timedelta(seconds=EARLY_S)).replace(second=0, microsecond=0)
