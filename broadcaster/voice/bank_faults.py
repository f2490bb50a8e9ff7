"""What a programme wants said by recorded voices that have no clip of it."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path

from broadcaster.script.facts import Fact
from broadcaster.script.phrases import respelled
from broadcaster.script.profiles import VoiceProfile
from broadcaster.script.programme import Groups, Programme, Say, Spell, SpokenItem, Steps, copy_of
from broadcaster.script.template import Template, ValueText
from broadcaster.story.words import SHORT_S, clock_said, length_said, yes_or_no
from broadcaster.voice.bank import Bank, read_bank
from broadcaster.voice.figures import groups_in

_FIGURES = tuple("0123456789")
_MIDNIGHT = datetime(1958, 11, 1, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class BankFault:
    """An item with words for which its voice has no clip, and nobody who says them instead."""

    steps: Steps
    """What leads to the item in the programme."""
    kind: str
    """The item's kind: the key that its words stand behind."""
    voice: str
    lacking: tuple[str, ...]
    """The words, or figures and letters."""


def bank_faults(programme: Programme) -> list[BankFault]:
    """Every item that asks too much of a bank without `fallback`, in the script's order."""
    banks: dict[str, Bank] = {}
    faults = []
    for steps, item in programme.items():
        if not isinstance(item, SpokenItem):
            continue
        name = programme.voice_name_of(item)
        profile = programme.voice_of(item)
        if profile.engine != "bank" or not profile.bank or profile.fallback:
            continue
        if name not in banks:
            banks[name] = read_bank(Path(profile.bank))
        lacking = tuple(dict.fromkeys(_lacking(programme, item, profile, banks[name])))
        if lacking:
            faults.append(BankFault(steps, item.kind, name, lacking))
    return faults


def _lacking(
    programme: Programme, item: SpokenItem, profile: VoiceProfile, bank: Bank
) -> Iterator[str]:
    phrases = programme.phrases_in(profile.language)
    if isinstance(item, Say):
        for time in item.say.times:
            for word in _words_of_times(time.name, profile.language):
                yield from bank.lacks(word)
    for text in _texts(programme, item, profile):
        if isinstance(item, Say):
            yield from bank.lacks(respelled(text, phrases))
        else:
            signs = "".join(groups_in(text))
            yield from (sign for sign in signs if not bank.says_singly(sign))
    readings = (item.readings or profile.readings) if isinstance(item, Groups) else "once"
    if readings != "once" and profile.say_again:
        yield from bank.lacks(respelled(profile.say_again, phrases))


def _texts(programme: Programme, item: SpokenItem, profile: VoiceProfile) -> Iterator[str]:
    """The parts of what an item says: its words as they are, and what its values may be."""
    copy = copy_of(item)
    for part in copy.parts if isinstance(copy, Template) else (str(copy),):
        if not isinstance(part, ValueText):
            yield part
        elif fact := programme.facts.get(part.name):
            yield from _values(fact, profile)
        elif isinstance(item, Spell):
            yield from _FIGURES


@cache
def _words_of_times(name: str, language: str) -> tuple[str, ...]:
    """Every word with which a time may be told."""
    minutes = range(24 * 60)
    if name == "clock":
        said = [clock_said(_MIDNIGHT + timedelta(minutes=each), language) for each in minutes]
    else:
        said = [length_said(seconds, language) for seconds in range(0, SHORT_S, 10)]
        said += [length_said(60.0 * each, language) for each in minutes]
    return tuple(sorted({word for text in said for word in text.split()}))


def _values(fact: Fact, profile: VoiceProfile) -> Iterator[str]:
    match fact.kind:
        case "a name":
            yield from fact.one_of
        case "a yes or no":
            yield from (yes_or_no(value, profile.language) for value in (True, False))
        case _:
            yield from _FIGURES
