"""A bar on the error stream while something takes its time; nothing where nobody watches."""

import sys
from types import TracebackType
from typing import TYPE_CHECKING, Self

if TYPE_CHECKING:
    from rich.progress import Progress, TaskID


class Bar:
    """A context. The bar comes with the first news, and starts no thread: speech needs to fork."""

    def __init__(self) -> None:
        self._progress: Progress | None = None
        self._tasks: dict[str, TaskID] = {}

    def __enter__(self) -> Self:
        """Nothing is shown yet."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        traceback: TracebackType | None,
    ) -> None:
        """The bar goes."""
        if self._progress:
            self._progress.stop()

    def tell(self, what: str, done: int, total: int | None = None) -> None:
        """So much is done of what is being done."""
        if not sys.stderr.isatty():
            return
        if self._progress is None:
            from rich.console import Console
            from rich.progress import Progress

            self._progress = Progress(
                transient=True, auto_refresh=False, console=Console(stderr=True)
            )
            self._progress.start()
        if what not in self._tasks:
            self._tasks[what] = self._progress.add_task(what, total=total)
        self._progress.update(self._tasks[what], completed=done, total=total, refresh=True)
