"""Inserts: what goes out between two items, after which the running order goes on where it was.

At a border, in this order: what the operator announces; entries of the timetable that land on
their frame; what of an earlier insert is still to come; the timetable's other entries; a hint.
A move to another segment ends an insert, except an announcement.
"""

from broadcaster.script.programme import Item
from broadcaster.story.cue import announced
from broadcaster.story.events import AnnouncementsWaiting, Part
from broadcaster.story.moment import Moment
from broadcaster.story.pacing import take_hint
from broadcaster.story.plan import RunningOrder
from broadcaster.story.running import next_item
from broadcaster.story.state import Insert
from broadcaster.story.timetable import take_entry


def next_inserted(moment: Moment) -> tuple[Insert, Item] | None:
    """What is put in now, and the insert it belongs to; None if the running order has its turn."""
    while True:
        begun = _begin(moment)
        if begun:
            moment.change(inserts=(*moment.state.inserts, begun))
        inserts = moment.state.inserts
        if not inserts or not (moment.going or inserts[-1].part is Part.ANNOUNCEMENT):
            return None
        insert = inserts[-1]
        item = _next_of(moment, insert)
        if item:
            return moment.state.inserts[-1], item
        moment.change(inserts=inserts[:-1])


def _begin(moment: Moment) -> Insert | None:
    announcements = moment.state.announcements
    if announcements:
        moment.change(announcements=announcements[1:])
        moment.tell(AnnouncementsWaiting(moment.frame, announcements[1:]))
        return Insert(Part.ANNOUNCEMENT, text=announcements[0])
    if not moment.going:
        return None
    entry = take_entry(moment)
    if entry is None and moment.state.hint_waiting and not moment.state.inserts:
        return take_hint(moment)
    return entry


def _next_of(moment: Moment, insert: Insert) -> Item | None:
    """An insert's next item; its spot moves on."""
    stop = insert.spot.place + 1 if insert.part is Part.HINT else None
    found = next_item(moment, _order(moment, insert), insert.spot, stop)
    if found is None:
        return None
    spot, item = found
    moved = Insert(insert.part, insert.number, insert.text, spot)
    moment.change(inserts=(*moment.state.inserts[:-1], moved))
    return item


def _order(moment: Moment, insert: Insert) -> RunningOrder:
    match insert.part:
        case Part.HINT:
            return moment.plan.ladders[moment.state.segment]
        case Part.TIMETABLE:
            return moment.plan.slots[insert.number].order
        case _:
            return RunningOrder((announced(insert.text),), 0)
