"""The jump that waits, and what becomes of it: made, taken back, or replaced by another."""

from broadcaster.console.view import WaitView, Weight
from broadcaster.console.words import jump_words
from broadcaster.story.events import JumpTiming, JumpWaiting, OutEvent, SegmentEntered
from broadcaster.story.moves import JUMP


class WaitingJump:
    """Follows what the station tells of its jumps."""

    def __init__(self) -> None:
        self._gone: tuple[int, str] | None = None
        self.view: WaitView | None = None
        """The jump that waits now."""

    def forget(self) -> None:
        """No jump waits where no session runs."""
        self.view = self._gone = None

    def hear(self, event: OutEvent) -> list[tuple[int, Weight, str]]:
        """Take any event, in its order: the frame, the kind and the sentence of each line due.

        A jump that is made ceases to wait right before its segment is entered. One that ceases to
        wait before anything else was taken back.
        """
        told: list[tuple[int, Weight, str]] = []
        gone, self._gone = self._gone, None
        if gone and not (isinstance(event, SegmentEntered) and event.why == JUMP):
            frame, segment = gone
            told.append((frame, Weight.NOTE, f"The jump to {segment} is taken back."))
        match event:
            case JumpWaiting(frame, str(segment), JumpTiming() as timing, transition):
                asked = WaitView(segment, timing, transition=transition)
                weight, sentence = _asked(asked, self.view)
                told.append((frame, weight, sentence))
                self.view = asked
            case JumpWaiting(frame):
                self._gone = (frame, self.view.segment) if self.view else None
                self.view = None
        return told


def _asked(jump: WaitView, before: WaitView | None) -> tuple[Weight, str]:
    how = jump_words(jump.timing, jump.transition)
    sentence = f"Jump to {jump.segment}, {how}"
    if before is None or before == jump:
        return Weight.STORY, f"{sentence}."
    if before.segment == jump.segment:
        was = jump_words(before.timing, before.transition)
        return Weight.NOTE, f"{sentence}, and not {was}."
    return Weight.NOTE, f"{sentence}, in place of the jump to {before.segment}."
