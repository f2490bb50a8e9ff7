"""Which frame is heard when: by the earliest of an output's last moments, and its own delay."""

import pytest

from broadcaster.air.hearing import REMEMBERED, Hearing
from broadcaster.air.pulse_delay import pulse_delay_s
from broadcaster.units import RATE

PERIOD = RATE // 10


def asked(hearing: Hearing, calls: int, late_s: tuple[float, ...] = (0.0,), first: int = 0) -> int:
    """The output asks for periods from second 5 on, some of them late; frames taken in all."""
    for call in range(first, first + calls):
        hearing.note(call * PERIOD, 5.0 + call / 10 + late_s[call % len(late_s)])
    return (first + calls) * PERIOD


def test_nothing_is_heard_before_the_output_asks() -> None:
    """An output that has taken nothing stands at frame 0."""
    assert Hearing(0.06).at(99.0, taken=0) == 0


def test_a_frame_is_heard_its_delay_after_it_was_taken() -> None:
    """Frame 0 was taken at second 5; with 60 ms on the way, at 5.16 s frame 4,800 is heard."""
    hearing = Hearing(0.06)
    taken = asked(hearing, 3)
    assert hearing.at(5.16, taken) == PERIOD
    assert hearing.at(5.05, taken) == 0


def test_a_late_thread_changes_nothing() -> None:
    """One call of eight in time is enough: the others were 3 to 20 ms late."""
    hearing = Hearing(0.0)
    taken = asked(hearing, 32, (0.0, *(0.003 * call for call in range(1, 7)), 0.02))
    assert hearing.at(8.0, taken) == 3 * RATE


def test_a_clock_that_drifts_is_followed() -> None:
    """A device whose second lasts 1.0001 s is 0.36 s behind after an hour, not at its start."""
    hearing = Hearing(0.0)
    for call in range(36_000):
        hearing.note(call * PERIOD, call / 10 * 1.0001)
    assert hearing.at(3600.0, 10**9) / RATE == pytest.approx(3600.0 - 0.36, abs=0.001)


def test_what_ran_short_begins_anew() -> None:
    """After an underrun of a period the same frame is heard a period later, at once."""
    hearing = Hearing(0.0)
    asked(hearing, REMEMBERED)
    hearing.restart()
    hearing.note(PERIOD * REMEMBERED, 5.1 + REMEMBERED / 10)
    assert hearing.at(5.1 + REMEMBERED / 10, 10**9) == PERIOD * REMEMBERED


def test_a_buffer_that_is_filled_at_first_misleads_for_one_call_only() -> None:
    """Three periods are taken at once when a device starts; it is heard from the fourth on."""
    hearing = Hearing(0.2)
    for call, asked_s in enumerate((5.0, 5.0, 5.001, 5.1, 5.2)):
        hearing.note(call * PERIOD, asked_s)
    assert hearing.at(6.0, 10**9) == RATE  # frame 4 * PERIOD was taken at 5.2 s


def test_no_frame_is_heard_before_it_is_made() -> None:
    """An output that hangs does not run on by the clock."""
    hearing = Hearing(0.0)
    taken = asked(hearing, 2)
    assert hearing.at(1000.0, taken) == taken


def test_a_sound_server_that_is_not_there_tells_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """Then the output's own guess stays."""
    monkeypatch.setenv("PULSE_SERVER", "unix:/nowhere/native")
    assert pulse_delay_s() is None
