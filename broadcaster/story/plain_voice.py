"""The plain voice: an announcement for the real world, which takes the air from everything else.

It says its text, rests, and says it again, until it is stopped. What was on air is cut and sent
again later; a session is held by it, and goes on only when it is resumed. It never replaces the
venue's own alarm.
"""

from dataclasses import replace

from broadcaster.script.values import LONGEST_TEXT
from broadcaster.story.cue import Carrier, Cue, announced
from broadcaster.story.events import (
    AnnouncementsWaiting,
    Part,
    PlainVoice,
    PlainVoiceStarted,
    PlainVoiceStopped,
    StopPlainVoice,
)
from broadcaster.story.holding import hold
from broadcaster.story.moment import Moment
from broadcaster.story.state import Plain, without_announcements

REST_S = 1.5
"""Silence between two times of the text. Chosen by ear: time to think, and to listen for people."""


def speak_plainly(moment: Moment, event: PlainVoice) -> None:
    """Take the air, or change the text that is said from the next time on."""
    text = _text(moment, event)
    was = moment.state.plain
    if was and was.text == text:
        return
    if was is None:
        _clear_the_air(moment)
    moment.change(plain=Plain(text))
    moment.tell(PlainVoiceStarted(moment.frame, text, event.source))


def _text(moment: Moment, event: PlainVoice) -> str:
    """What is to be said: nothing that an operator in a hurry types keeps the voice off the air."""
    if not any(character.isalnum() for character in event.text):
        return moment.plan.programme.plain_voice_text
    return event.text[:LONGEST_TEXT]


def _clear_the_air(moment: Moment) -> None:
    moment.cut = True
    moment.again = moment.going and not moment.announcing
    if moment.state.announcements:
        moment.tell(AnnouncementsWaiting(moment.frame, ()))
    moment.change_to(without_announcements(moment.state))
    if moment.going:
        hold(moment)


def stop_plain_voice(moment: Moment, event: StopPlainVoice) -> None:
    """Leave the air, in the midst of a sentence too."""
    moment.change(plain=None)
    moment.cut = True
    moment.tell(PlainVoiceStopped(moment.frame, event.source))


def next_plainly(moment: Moment, plain: Plain) -> Cue:
    """What the plain voice does next: it speaks and rests by turns."""
    rests = plain.time > 0 and not plain.rested
    moment.change(plain=replace(plain, rested=rests, time=plain.time if rests else plain.time + 1))
    item, text = (Carrier(carrier=REST_S), "rest") if rests else (announced(plain.text), plain.text)
    time = max(1, plain.time if rests else plain.time + 1)
    return Cue(moment.state.segment, item, text, time, moment.state.rounds + 1, Part.PLAIN_VOICE)
