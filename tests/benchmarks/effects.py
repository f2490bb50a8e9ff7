"""How fast a broadcast is beside general effects tools: `python -m tests.benchmarks.effects`.

The heaviest sound that ships, through reception and transmitter, from a file of ten minutes into a
file; beside it sox and pedalboard with the nearest that they have, a copy, and one band-pass. The
two have neither fading paths nor a frequency shift: a chorus stands in for the one and nothing for
the other. Their plainest filters fall by 12 dB an octave, where sounds of ours ask for up to 48;
with filters of 24 dB pedalboard is timed, too. So the others do rather less. Processor time of all
processes, the best of several turns; a tool that is absent is left out.
"""

import importlib.util
import resource
import shutil
import subprocess
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import soundfile

from broadcaster.period.bands import BandLimit
from broadcaster.script.shelves import shipped_sounds
from broadcaster.script.sounds import Sound
from broadcaster.units import RATE, gain_from_db
from tests.benchmarks.figures import figure, heading
from tests.benchmarks.stream import Process, broadcast, seconds_of

MINUTES = 10
LIVE_BLOCK, FILE_BLOCK = 1_024, 65_536
RUNS = 3
STEEP = "pedalboard with 24 dB an octave"
Turn = Callable[[Path, Path], None]

SOX_WAY = (
    "sox -V1 {dry} -p highpass 300 lowpass 3000 overdrive 10 chorus 0.7 0.9 20 0.5 0.25 2 -s"
    " | sox -V1 -m - '|sox -V1 -r 48000 -n -p synth {seconds} whitenoise vol 0.02"
    " highpass 200 lowpass 4000' {wet}"
    " compand 0.02,1.5 -60,-40,-20,-20,0,-12 0 -20 highpass 300 lowpass 2700 gain -l 3"
)


def main() -> None:
    """Print the figures."""
    name, sound = heaviest()
    heading(f"{MINUTES} minutes through {name!r}, the heaviest sound")
    live_s = seconds_of(lambda: broadcast(sound), _speech(1), LIVE_BLOCK)
    figure(f"{LIVE_BLOCK} frames a block, times real time", f"{60 / live_s:.0f}", "at least 80")
    figure("so much of one core does the stream take", f"{live_s / 60:.1%}", "under 8 %")
    taken = _compared(sound)
    for tool, seconds in taken.items():
        figure(f"{tool}, file to file, times real time", f"{60 * MINUTES / seconds:.0f}")
    ours = taken["broadcaster"]
    others = [taken[tool] for tool in ("sox", "pedalboard") if tool in taken]
    if others:
        figure("as fast as the faster of them (12 dB)", f"{min(others) / ours:.2f}", "at least 1.0")
    if STEEP in taken:
        figure(f"as fast as {STEEP}", f"{taken[STEEP] / ours:.2f}", "at least 1.0")
    figure("times as long as one band-pass", f"{ours / taken['one band-pass']:.1f}")
    figure("times as long as a copy", f"{ours / taken['copy']:.1f}")


def heaviest() -> tuple[str, Sound]:
    """The sound that ships and takes longest."""
    sounds = shipped_sounds()
    programme = _speech(1)
    taken = {
        name: seconds_of(lambda sound=sound: broadcast(sound), programme, FILE_BLOCK)
        for name, sound in sounds.items()
    }
    name = max(taken, key=lambda name: taken[name])
    return name, sounds[name]


def _compared(sound: Sound) -> dict[str, float]:
    tools: dict[str, Turn] = {
        "copy": lambda dry, wet: _through(lambda block, _frame: block.copy(), dry, wet),
        "one band-pass": lambda dry, wet: _through(
            BandLimit(300.0, 3400.0, 24.0, RATE).process, dry, wet
        ),
        "broadcaster": lambda dry, wet: _through(broadcast(sound), dry, wet),
    }
    if shutil.which("sox"):
        tools["sox"] = _sox
    else:
        print("  sox is left out, for it is not installed")
    if importlib.util.find_spec("pedalboard"):
        tools["pedalboard"] = lambda dry, wet: _pedalboard(dry, wet, steep=False)
        tools[STEEP] = lambda dry, wet: _pedalboard(dry, wet, steep=True)
    else:
        print("  pedalboard is left out, for it is not installed")
    taken = dict.fromkeys(tools, float("inf"))
    with tempfile.TemporaryDirectory() as folder:
        dry, wet = Path(folder) / "dry.wav", Path(folder) / "wet.wav"
        soundfile.write(dry, _speech(MINUTES), RATE, "PCM_16")
        for _ in range(RUNS):
            for tool, turn in tools.items():
                began = _processor_s()
                turn(dry, wet)
                taken[tool] = min(taken[tool], _processor_s() - began)
                assert soundfile.info(wet).duration > 60 * MINUTES - 1
    return taken


def _through(process: Process, dry: Path, wet: Path) -> None:
    with (
        soundfile.SoundFile(dry) as read,
        soundfile.SoundFile(wet, "w", RATE, 1, "PCM_16") as written,
    ):
        frame = 0
        for block in read.blocks(FILE_BLOCK, dtype="float32"):
            written.write(process(block, frame))
            frame += len(block)


def _sox(dry: Path, wet: Path) -> None:
    command = SOX_WAY.format(dry=dry, wet=wet, seconds=60 * MINUTES)
    subprocess.run(command, shell=True, check=True)


def _pedalboard(dry: Path, wet: Path, *, steep: bool) -> None:
    import pedalboard as effects  # absent from the package's own needs

    def band(low_hz: float, high_hz: float) -> list:
        ladder = effects.LadderFilter
        if steep:
            return [ladder(ladder.HPF24, low_hz), ladder(ladder.LPF24, high_hz)]
        return [  # of 6 dB an octave each
            *(effects.HighpassFilter(low_hz) for _ in range(2)),
            *(effects.LowpassFilter(high_hz) for _ in range(2)),
        ]

    way = effects.Pedalboard(
        [
            *band(300.0, 3000.0),
            effects.Distortion(10.0),
            effects.Chorus(0.25, 0.5, 7.0, 0.0, 0.5),
        ]
    )
    hiss = effects.Pedalboard([effects.HighpassFilter(200.0), effects.LowpassFilter(4000.0)])
    receiver = effects.Pedalboard(
        [
            effects.Compressor(-20.0, 4.0, 20.0, 1500.0),
            *band(300.0, 2700.0),
            effects.Limiter(-1.0),
        ]
    )
    chance = np.random.default_rng(1)

    def process(block: np.ndarray, _frame: int) -> np.ndarray:
        noise = chance.standard_normal(len(block), dtype=np.float32) * np.float32(0.02)
        heard = way(block, RATE, reset=False) + hiss(noise, RATE, reset=False)
        return receiver(heard, RATE, reset=False)

    _through(process, dry, wet)


def _speech(minutes: int) -> np.ndarray:
    """What stands for speech: noise at its level, with pauses."""
    frames = 60 * minutes * RATE
    noise = np.random.default_rng(1).standard_normal(frames, dtype=np.float32)
    sounding = np.sin(np.arange(frames) * (2.0 * np.pi / 150_000)) > -0.3
    return noise * sounding.astype(np.float32) * np.float32(gain_from_db(-20.0))


def _processor_s() -> float:
    """Of this process and of those it has waited for."""
    children = resource.getrusage(resource.RUSAGE_CHILDREN)
    return time.process_time() + children.ru_utime + children.ru_stime


if __name__ == "__main__":
    main()
