"""Bad input, as a person would type it: one clear line each, the right exit code, nothing left."""

import os
import tempfile
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.end_to_end.run import Home, Outcome

SCRIPT = """\
programme: Night Watch
station:
  callsign: Heron
  frequency: 91.3 MHz
  voice: keeper
opening: watch
facts:
  lamp_lit: no
segments:
  watch:
    repeat: yes
    play:
      - say: Heron calling.
      - morse: REED
      - pause: 2 s
    exits:
      - to: end
        when: lamp_lit
"""
WRITTEN: dict[str, bytes] = {
    "good": SCRIPT.encode(),
    "empty": b"",
    "binary": bytes(range(0x80, 0x100)),
    "broken": SCRIPT.replace("opening: watch", "opening: [watch").encode(),
    "twice": SCRIPT.replace("opening: watch", "opening: watch\nopening: watch").encode(),
    "item": SCRIPT.replace("say:", "sya:").encode(),
    "nowhere": SCRIPT.replace("to: end", "to: gate").encode(),
    "silence": SCRIPT.replace("repeat: yes", "repeat: no").encode(),
    "fact": SCRIPT.replace("when: lamp_lit", "when: lamp_lid").encode(),
    "morse": SCRIPT.replace("REED", "REED!").encode(),
    "clip": SCRIPT.replace("pause: 2 s", "clip: bell.wav").encode(),
}


@dataclass(frozen=True)
class Case:
    """A command, what it says (the beginning of its one line), and its exit code."""

    command: str
    says: str
    code: int

    @property
    def is_check(self) -> bool:
        """A check prints its faults as its result; all else is told as an error."""
        return self.command.startswith("check")


AIR = "air good.yaml --start --no-console --for 1s --output"
RENDER = "render good.yaml --segment watch -o"
CASES = (
    # the script
    Case("check gone.yaml", "broadcaster: There is no file gone.yaml", 2),
    Case("check folder", "broadcaster: folder is a folder", 2),
    Case("check empty.yaml", "empty.yaml:1:1: Nothing is written in the file.", 1),
    Case("check binary.yaml", "binary.yaml:1:1: The file is not UTF-8", 1),
    Case("check broken.yaml", "broken.yaml:6:10: A `[` begins here and is not closed", 1),
    Case("check twice.yaml", "twice.yaml:7:1: `opening` is written twice, first in line 6.", 1),
    Case("check item.yaml", "item.yaml:13:9: `sya` is not known in `play`. Did you mean `say`", 1),
    Case("check nowhere.yaml", "nowhere.yaml:17:13: There is no segment `gate`.", 1),
    Case("check silence.yaml", "silence.yaml:10:3: `watch` can end in silence", 1),
    Case("check fact.yaml", "fact.yaml:18:15: There is no fact `lamp_lid`.", 1),
    Case("check morse.yaml", "morse.yaml:14:20: Morse code has no character `!`.", 1),
    Case("check clip.yaml", "clip.yaml:15:15: The clip `bell.wav` cannot be played", 1),
    Case("render clip.yaml --segment watch -o x.wav", "clip.yaml:15:15: The clip `bell.wav`", 1),
    Case("air clip.yaml --start --for 1s --output silent", "clip.yaml:15:15: The clip `bell", 1),
    Case("air broken.yaml --start --for 1s --output silent", "broken.yaml:6:10: A `[` begins", 1),
    Case("air gone.yaml --start --for 1s", "broadcaster: There is no file gone.yaml", 2),
    # the output
    Case(f"{AIR} file:gone/x.wav", "broadcaster: Cannot write gone/x.wav: there is no folder", 3),
    Case(f"{AIR} file:folder", "broadcaster: Cannot write folder: it is a folder.", 3),
    Case(f"{AIR} file:pipe", "broadcaster: Cannot write pipe: it is a device or the like", 3),
    Case(f"{AIR} file:", "broadcaster: Behind `file:` stands the file to write", 2),
    Case(f"{AIR} nosuch", "broadcaster: There is no output 'nosuch'.", 2),
    Case(f"{AIR} silent --log folder", "broadcaster: Cannot write the log folder", 2),
    Case(f"{AIR} silent --log good.yaml/x", "broadcaster: Cannot write the log good.yaml/x", 2),
    Case(f"{RENDER} gone/x.wav", "broadcaster: Cannot write gone/x.wav: there is no folder", 3),
    Case(f"{RENDER} folder", "broadcaster: Cannot write folder: it is a folder.", 3),
    Case(f"{RENDER} pipe", "broadcaster: Cannot write pipe: it is a device or the like", 3),
    Case(f"{AIR} file:x.mp3", "broadcaster: x.mp3 would hold WAV: give it a name that ends in", 2),
    Case(f"{RENDER} x.ogg", "broadcaster: x.ogg would hold WAV: give it a name that ends in", 2),
    Case("picture good.yaml -o x.png", "broadcaster: x.png would hold SVG: give it a name", 2),
    # the rest of the command
    Case(f"{AIR} silent --for soon", "broadcaster: --for: `soon` is not a duration.", 2),
    Case(f"{AIR} silent --for 10", "broadcaster: --for: `10` is not a duration.", 2),
    Case(f"{AIR} silent --for 0s", "broadcaster: --for: a broadcast takes some time", 2),
    Case("render good.yaml --segment wach -o x.wav", "broadcaster: There is no segment 'wach'.", 2),
)


@dataclass(frozen=True)
class Runs:
    """What came of all cases."""

    folder: Path
    outcomes: dict[Case, Outcome]
    homes: dict[Case, Home]


@pytest.fixture(scope="module")
def runs(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Runs]:
    """Every case is run, two at a time, in one folder but each in a home of its own."""
    folder = tmp_path_factory.mktemp("scripts")
    (folder / "folder").mkdir()
    os.mkfifo(folder / "pipe")
    (folder / "bell.wav").write_text("not a sound")
    for name, content in WRITTEN.items():
        (folder / f"{name}.yaml").write_bytes(content)
    with tempfile.TemporaryDirectory(prefix="bc") as top:  # short: a socket's path has a limit
        homes = {case: Home(Path(top) / f"{n}") for n, case in enumerate(CASES)}

        def run(case: Case) -> Outcome:
            homes[case].folder.mkdir()
            process = homes[case].start(*case.command.split(), cwd=folder)
            output, errors = process.communicate(timeout=60)
            return Outcome(process.returncode, output, errors)

        with ThreadPoolExecutor(2) as pool:
            yield Runs(folder, dict(zip(CASES, pool.map(run, CASES), strict=True)), homes)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.command)
def test_one_clear_line_and_an_exit_code(case: Case, runs: Runs) -> None:
    """It says what is wrong in one line, without a traceback, and nothing beside it."""
    outcome = runs.outcomes[case]
    assert outcome.code == case.code, outcome
    told, silent = outcome.errors, outcome.output
    if case.is_check and case.code == 1:
        told, silent = silent, told
        assert told.splitlines().pop() == f"{case.command.split()[1]}: 1 fault."
        told = told.splitlines(keepends=True)[0]
    assert told.startswith(case.says), outcome
    assert told.count("\n") == 1
    assert silent == ""


def test_nothing_is_left_behind(runs: Runs) -> None:
    """No file was begun, no log holds half a broadcast, no cache holds half an utterance."""
    written = {"folder", "pipe", "bell.wav", *(f"{name}.yaml" for name in WRITTEN)}
    assert {path.name for path in runs.folder.iterdir()} == written
    assert not list((runs.folder / "folder").iterdir())
    for case, home in runs.homes.items():
        assert not list(home.folder.rglob("*.part")), case
        assert not list(home.folder.rglob("*.jsonl")), case
        assert not list(home.folder.rglob("*.socket")), case
