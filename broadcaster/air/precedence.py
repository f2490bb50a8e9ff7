"""Who goes first when the machine is busy: the station, then the desk with its console, then other
programs, and the speech worker behind them.

The station asks for the real-time class that audio programs use (round robin, low priority), else
for the precedence of a sound server (nice -11), and goes on without where neither is granted. It
needs a few per cent of a core, but needs them in time; measured with three busy processes on two
cores, that is the difference between gaps and none. The desk asks for less, and starts the station,
which so has at least as much: measured with two busy processes beside it on two cores that had more
to do, a key shows three times sooner.
"""

import os
from contextlib import suppress

REAL_TIME_PRIORITY = 5
NICE_FIRST = -11
NICE_DESK = -5
NICE_BEHIND = 5


def go_first() -> None:
    """For the calling thread and all that it starts from here on."""
    if hasattr(os, "sched_setscheduler"):
        with suppress(OSError):
            os.sched_setscheduler(0, os.SCHED_RR, os.sched_param(REAL_TIME_PRIORITY))
            return
    if hasattr(os, "setpriority"):
        with suppress(OSError):
            os.setpriority(os.PRIO_PROCESS, 0, NICE_FIRST)


def go_before_others() -> None:
    """For the calling thread and all that it starts from here on: an operator waits for it."""
    if hasattr(os, "setpriority"):
        with suppress(OSError):
            os.setpriority(os.PRIO_PROCESS, 0, NICE_DESK)


def stay_behind() -> None:
    """For a worker, which may be started by a thread that goes first.

    A session of its own: a system that shares its cores between sessions does not then take the
    worker's needs out of the station's share.
    """
    if hasattr(os, "sched_setscheduler"):
        with suppress(OSError):
            os.sched_setscheduler(0, os.SCHED_OTHER, os.sched_param(0))
    if hasattr(os, "setsid"):
        with suppress(OSError):
            os.setsid()
    if hasattr(os, "setpriority"):
        with suppress(OSError):
            os.setpriority(os.PRIO_PROCESS, 0, NICE_BEHIND)
