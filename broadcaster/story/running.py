"""Running orders: which item has its turn, of a segment or of what is put in between its items."""

from broadcaster.script.programme import Choose, Item
from broadcaster.story.choosing import chance, pick
from broadcaster.story.moment import Moment
from broadcaster.story.plan import RunningOrder
from broadcaster.story.state import Spot


def next_item(
    moment: Moment, order: RunningOrder, spot: Spot, stop: int | None = None
) -> tuple[Spot, Item] | None:
    """The item that comes after a spot, and its own spot; None at the order's end.

    `stop`: the place before which the order ends, if it is not to be played whole.
    """
    if spot.again:
        return Spot(spot.place, spot.time), _chosen_last(moment, order, spot.place)
    if spot.place >= 0 and spot.time < order.items[spot.place].times:
        return _taken(moment, order, Spot(spot.place, spot.time + 1))
    for place in range(spot.place + 1, len(order.items) if stop is None else stop):
        if has_turn(moment, order, place):
            return _taken(moment, order, Spot(place, 1))
    return None


def has_turn(moment: Moment, order: RunningOrder, place: int) -> bool:
    """Whether an item goes out if its turn is now."""
    item = order.items[place]
    if item.once and order.first + place in moment.state.spent:
        return False
    if item.every and (moment.state.rounds + 1) % item.every:
        return False
    return moment.holds(item.when)


def _taken(moment: Moment, order: RunningOrder, spot: Spot) -> tuple[Spot, Item]:
    item = order.items[spot.place]
    number = order.first + spot.place
    if item.once:
        moment.change(spent=moment.state.spent | {number})
    if isinstance(item, Choose):
        _choose(moment, number, len(item.choose))
    return spot, _chosen_last(moment, order, spot.place)


def _choose(moment: Moment, number: int, variants: int) -> None:
    chosen = dict(moment.state.chosen)
    bits = chance(moment.plan.seed, number, moment.state.choices)
    chosen[number] = pick(bits, variants, chosen.get(number))
    moment.change(chosen=tuple(sorted(chosen.items())), choices=moment.state.choices + 1)


def _chosen_last(moment: Moment, order: RunningOrder, place: int) -> Item:
    variants = order.variants(place)
    if len(variants) == 1:
        return variants[0]
    return variants[dict(moment.state.chosen)[order.first + place]]
