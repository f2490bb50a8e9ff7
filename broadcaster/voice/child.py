"""The process that speaks one utterance and ends.

espeak's output varies by up to 9 ms with what the process said before; only a process that has
spoken nothing yet says the same words in the same bits. So each utterance has a process of its own,
forked in some milliseconds from one that has loaded the engine and never speaks itself. Where
forking is not safe (macOS) or not to be had (Windows) a fresh process is started instead: slower,
and the same bits.

The process that forks must not be a multiprocessing daemon, which may have no children, and is
best one without threads: a child inherits the locks that other threads hold, for ever locked.
"""

import signal
import sys
from multiprocessing import get_context
from multiprocessing.connection import Connection
from typing import Literal, TypeAlias

from broadcaster.errors import SpeechError
from broadcaster.voice.engine import DrySpeech, Engine
from broadcaster.voice.utterance import Utterance

StartMethod: TypeAlias = Literal["fork", "spawn"]
START_METHOD: StartMethod = "fork" if sys.platform == "linux" else "spawn"
STARTING = 3.0
"""So much longer may a process take that must load its engine first. Measured: 1 s where the
machine is quiet, 9 s where nine others want its two cores."""
_GRACE_S = 1.0


def speak_in_child(
    engine: Engine,
    utterance: Utterance,
    time_limit_s: float,
    start_method: StartMethod = START_METHOD,
) -> DrySpeech:
    """What the engine says in a process that has spoken nothing yet.

    One that must load its engine first may take STARTING times as long. Raises SpeechError: with
    the engine's own reason, or because the process died or took longer than the limit; it is killed
    then.
    """
    if engine.needs_fresh_process:
        start_method, time_limit_s = "spawn", STARTING * time_limit_s
    context = get_context("fork") if start_method == "fork" else get_context("spawn")
    receiver, sender = context.Pipe(duplex=False)
    child = context.Process(
        target=_say_and_send, args=(engine, utterance, sender, time_limit_s), daemon=True
    )
    child.start()
    sender.close()
    try:
        if not receiver.poll(time_limit_s):
            raise SpeechError(utterance.text, f"it took longer than {time_limit_s:g} s.")
        answer: DrySpeech | str = receiver.recv()
    except (EOFError, OSError) as error:
        child.join()
        raise SpeechError(
            utterance.text, f"the voice's process died (exit code {child.exitcode})."
        ) from error
    finally:
        receiver.close()
        child.kill()
        child.join()
    if isinstance(answer, str):
        raise SpeechError(utterance.text, answer)
    return answer


def _say_and_send(
    engine: Engine, utterance: Utterance, sender: Connection, time_limit_s: float
) -> None:
    """In the child: speak, and send the speech, or the reason why there is none."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the terminal's Ctrl-C is meant for the parent
    if sys.platform != "win32":
        # Never outlive the limit, even if the parent is gone and nobody reads.
        signal.signal(signal.SIGALRM, signal.SIG_DFL)
        signal.setitimer(signal.ITIMER_REAL, time_limit_s + _GRACE_S)
    try:
        sender.send(engine.say(utterance))
    except SpeechError as error:
        sender.send(error.reason)
