"""The processors of the studio, the tape, the wire and the set, made from their rows."""

from typing import assert_never

from broadcaster.period.automatic_gain import AutomaticGain
from broadcaster.period.carbon import Carbon
from broadcaster.period.chance import Chance
from broadcaster.period.companding import Companding
from broadcaster.period.conditions import Conditions
from broadcaster.period.dropouts import Dropouts
from broadcaster.period.emphasis import DeEmphasis, PreEmphasis
from broadcaster.period.flutter import Flutter
from broadcaster.period.key_clicks import KeyClicks
from broadcaster.period.machine import Comb, Ring
from broadcaster.period.over_modulation import OverModulation
from broadcaster.period.processor import Processor
from broadcaster.script import sounds_set as rows


def set_processor(
    row: rows.AnySetRow, chance: Chance, rate: int, conditions: Conditions
) -> Processor:
    """The processor that a row asks for; arguments as for reception.processor_from()."""
    match row:
        case rows.PreEmphasis():
            return PreEmphasis(row.pre_emphasis, rate)
        case rows.DeEmphasis():
            return DeEmphasis(row.de_emphasis, rate)
        case rows.OverModulation():
            return OverModulation(row.over_modulation, conditions)
        case rows.AutomaticGain():
            return AutomaticGain(row.automatic_gain, row.level, row.attack, row.recovery, rate)
        case rows.Companding():
            return Companding(
                row.companding, row.band, row.attack, row.recovery, rate, chance, conditions
            )
        case rows.Flutter():
            swings = (row.flutter, row.rate), (row.wow, row.wow_rate)
            return Flutter(*swings, rate, chance.loop, conditions)
        case rows.Dropouts():
            return Dropouts(row.dropouts, row.every, row.length, rate, chance, conditions)
        case rows.KeyClicks():
            return KeyClicks(row.key_clicks, row.band, rate, conditions)
        case rows.Carbon():
            return Carbon(row.carbon, conditions)
        case rows.Ring():
            return Ring(row.ring, row.mix, rate, chance.loop, conditions)
        case rows.Comb():
            return Comb(row.comb, row.loss, rate)
        case _:
            assert_never(row)
