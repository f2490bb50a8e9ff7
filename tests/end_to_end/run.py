"""Running the command as a person would: in a process of its own, with a home of its own."""

import json
import os
import re
import shutil
import subprocess
import sys
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

DEMO = Path(__file__).parents[2] / "scripts" / "low-water.yaml"


def demo_as_written(folder: Path) -> Path:
    """The demo in a folder, as rough as its sound's table is.

    How rough a readability allows may be known too late for an item, on a machine that is kept
    busy; then a broadcast is not the rehearsed one, bit for bit.
    """
    script = folder / "low-water.yaml"
    script.write_text(re.sub(r"\n  readability: .*", "", DEMO.read_text(encoding="utf-8")))
    return script


@dataclass
class Home:
    """Where one run keeps its cache, its logs and its meeting point."""

    folder: Path
    extra: dict[str, str] = field(default_factory=dict)

    @property
    def environment(self) -> dict[str, str]:
        """The environment of a run in this home."""
        places = {
            name: str(self.folder / name.lower())
            for name in ("XDG_CACHE_HOME", "XDG_CONFIG_HOME", "XDG_STATE_HOME", "XDG_RUNTIME_DIR")
        }
        return {**os.environ, **places, "HOME": str(self.folder), **self.extra}

    def learn_from(self, other: "Home") -> None:
        """Know what was worked out in another home, but none of the words spoken there."""
        cache = Path("xdg_cache_home", "broadcaster", "speech")
        (self.folder / cache).mkdir(parents=True, exist_ok=True)
        for solution in (other.folder / cache).glob("roughness-*.json"):
            shutil.copy(solution, self.folder / cache)

    def start(self, *arguments: object, **options: Any) -> subprocess.Popen[str]:
        """Start `broadcaster` with these arguments; output and errors are piped."""
        (self.folder / "xdg_runtime_dir").mkdir(exist_ok=True)
        return subprocess.Popen(
            command(*arguments),
            env=self.environment,
            text=True,
            **{"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, **options},
        )

    def run(self, *arguments: object, timeout_s: float = 120.0) -> "Outcome":
        """Run `broadcaster` to its end."""
        process = self.start(*arguments)
        output, errors = process.communicate(timeout=timeout_s)
        return Outcome(process.returncode, output, errors)


@dataclass
class Outcome:
    """How a command ended."""

    code: int
    output: str
    errors: str

    @property
    def records(self) -> list[dict[str, Any]]:
        """The output as one JSON object a line."""
        return [json.loads(line) for line in self.output.splitlines()]

    def of(self, event: str) -> list[dict[str, Any]]:
        """The records of one kind of event."""
        return [record for record in self.records if record["event"] == event]


def command(*arguments: object) -> list[str]:
    """The command line for this Python."""
    return [sys.executable, "-m", "broadcaster.cli", *(str(argument) for argument in arguments)]
