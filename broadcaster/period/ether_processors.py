"""The processors of the way through the ether, made from their rows."""

from typing import assert_never

from broadcaster.period.carrier import Carrier, Interruptions, Key
from broadcaster.period.chance import Chance
from broadcaster.period.conditions import Conditions
from broadcaster.period.mistuning import Mistuning
from broadcaster.period.murmur import Murmur
from broadcaster.period.paths import Paths
from broadcaster.period.processor import Processor
from broadcaster.period.static import Static
from broadcaster.period.whistle import Whistle
from broadcaster.script import sounds_ether as rows


def ether_processor(
    row: rows.AnyEtherRow, chance: Chance, rate: int, conditions: Conditions
) -> Processor:
    """The processor that a row asks for; arguments as for reception.processor_from()."""
    match row:
        case rows.Paths():
            way = row.paths
            return Paths(way.delay_s, way.spread_hz, row.depth, rate, chance, conditions)
        case rows.Static():
            shape = row.index, row.gaussian, row.length
            return Static(row.static, *shape, row.band, rate, chance, conditions)
        case rows.Whistle():
            tone = row.whistle, row.pitch, row.wander, row.swell
            return Whistle(*tone, rate, chance, conditions)
        case rows.Mistuning():
            return Mistuning(row.mistuning, row.drift, rate, chance, conditions)
        case rows.Murmur():
            return Murmur(row.murmur, row.band, row.inverted, rate, chance, conditions)
        case rows.Carrier():
            gone = Interruptions(row.every, row.length, rate, chance)
            key = None if row.keyed is None else Key(row.keyed, rate)
            level = row.carrier, row.quieting, row.band
            return Carrier(*level, gone, key, rate, chance, conditions)
        case _:
            assert_never(row)
