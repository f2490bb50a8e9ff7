"""The operator's headphones: an announcement is heard there before it is sent.

It is made and played in a process of its own, which neither the desk nor the station waits for.
"""

import pickle
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import IO

from broadcaster.air.preview import Preview
from broadcaster.script.programme import Programme


class Monitor:
    """A second output, for previews; one at a time."""

    def __init__(self, output: str, programme: Programme, cache_folder: Path | None) -> None:
        """`output`: a device's name, as `broadcaster outputs` lists them."""
        self.output = output
        self._programme = programme
        self._cache_folder = cache_folder
        self._process: subprocess.Popen[bytes] | None = None
        self._words: IO[bytes] | None = None

    @property
    def busy(self) -> bool:
        """Whether a preview is being made or heard."""
        return self._process is not None and self._process.poll() is None

    def play(self, text: str) -> None:
        """Let an announcement be heard, in the station's voice and sound; returns at once.

        A preview that is still on is broken off.
        """
        self.stop()
        preview = Preview(self._programme, text, self.output, self._cache_folder)
        self._words = tempfile.TemporaryFile()  # noqa: SIM115  closed by _take_words()
        with tempfile.TemporaryFile() as orders:  # a pipe would have to be read before we go on
            pickle.dump(preview, orders)
            orders.seek(0)
            self._process = subprocess.Popen(
                [sys.executable, "-m", "broadcaster.air.preview"],
                stdin=orders,
                stdout=subprocess.DEVNULL,
                stderr=self._words,
                start_new_session=True,  # the terminal's Ctrl-C is meant for the desk
            )

    def trouble(self) -> str:
        """Why the last preview could not be heard, in a sentence, once; empty if nothing is."""
        if self._process is None or self.busy:
            return ""
        failed, self._process = self._process.returncode != 0, None
        words = self._take_words()
        return (words or "The preview could not be heard.") if failed else ""

    def stop(self) -> None:
        """Break a preview off."""
        if self._process:
            self._process.kill()
            self._process.wait()
            self._process = None
            self._take_words()

    def _take_words(self) -> str:
        """The last line that the process wrote."""
        assert self._words is not None
        with self._words as words:
            words.seek(0)
            lines = words.read().decode(errors="replace").strip().splitlines()
        self._words = None
        return lines[-1] if lines else ""
