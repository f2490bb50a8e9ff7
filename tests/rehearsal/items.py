"""Items for what is rendered off air: made here and now, without the worker."""

from collections.abc import Sequence

from broadcaster.air.items import Outcome
from broadcaster.air.preparing import maker
from broadcaster.script.programme import Programme
from broadcaster.story.cue import Cue
from broadcaster.voice.speaker import Speaker


class ItemsMadeHere:
    """An ItemSource that makes each item when it is fetched, as the station's worker does."""

    def __init__(self, programme: Programme, speaker: Speaker) -> None:
        self._make = maker(programme, speaker)

    def expect(self, cues: Sequence[Cue]) -> None:
        """Nothing is made ahead."""

    def fetch(self, cue: Cue) -> Outcome:
        return self._make(cue.content)
