"""Every figure that is scheduled goes out, in its slot, for every voice that ships.

The schedule and the dry figures are known. So each slot of a whole broadcast is compared with all
ten figures of the voice that reads it, and the one that was scheduled must be the likest: no
listener is needed, and noise above the speech does not matter. The likeness is the magnitude of
the analytic signals' normalised correlation, which fading turns but does not lower.
"""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from scipy.signal import butter, hilbert, resample_poly, sosfilt

from broadcaster.air.broadcast import Broadcast
from broadcaster.script.loading import load_programme
from broadcaster.script.profiles import VoiceProfile
from broadcaster.script.shelves import shipped_voices
from broadcaster.story.events import ItemAired, StartSession
from broadcaster.units import RATE, Samples
from broadcaster.voice.cache import SpeechCache
from broadcaster.voice.reading import figure_spans, read_groups, read_text
from broadcaster.voice.speaker import Speaker
from tests.rehearsal.items import ItemsMadeHere

VOICES = shipped_voices()
GROUPS = "41972 08653"
"""Each figure once."""
FIGURES = "0123456789"
COMPARED_HZ = 8_000
LATE_S = 0.02
"""Figures are looked for so long before and after their slot begins."""
BLOCK = 65_536
TELEPHONE = butter(4, (300.0, 3400.0), "bandpass", fs=RATE, output="sos")
# Speech lies at -20 dB before the band and a little lower behind it.
NOISY = "- hiss: -15 dB\n        band: 300 Hz to 3.4 kHz\n        slope: 24 dB"
FADING = "- paths: mid-latitude moderate\n      - hiss: -25 dB\n        band: 300 Hz to 3.4 kHz"


@dataclass(frozen=True)
class Reader:
    """A voice, with its ten figures as they are said singly."""

    profile: VoiceProfile
    figures: dict[str, Samples]
    say_again_frames: int

    @classmethod
    def of(cls, profile: VoiceProfile, speaker: Speaker) -> "Reader":
        brisk = profile.model_copy(update={"pause": 0.0, "readings": "once"})
        figures = {
            figure: read_groups(
                figure, brisk, figures=None, gap=None, group_gap=None, rate=None, speaker=speaker
            )
            for figure in FIGURES
        }
        again = profile.say_again
        wording = read_text(again, brisk, None, speaker) if again else ()
        return cls(profile, figures, len(wording))

    def slots(self) -> list[tuple[str, int]]:
        """What is scheduled in an item of GROUPS: each figure, and its first frame."""
        spans = figure_spans(
            GROUPS,
            self.profile,
            gap=None,
            group_gap=None,
            frames_of=lambda figure: len(self.figures[figure]),
            say_again_frames=self.say_again_frames,
        )
        groups = GROUPS.split()
        twice = self.profile.readings == "each group twice"
        order = [group for group in groups for _ in range(1 + twice)]
        return list(zip("".join(order), (start for start, _ in spans), strict=True))


@pytest.fixture(scope="module")
def speaker(tmp_path_factory) -> Speaker:
    return Speaker(SpeechCache(tmp_path_factory.mktemp("spoken")))


@pytest.fixture(scope="module")
def readers(speaker) -> dict[str, Reader]:
    return {name: Reader.of(profile, speaker) for name, profile in VOICES.items()}


def script(way: str) -> str:
    items = "\n".join(f'      - groups: "{GROUPS}"\n        voice: {name}' for name in VOICES)
    return f"""\
programme: Figures
station: {{callsign: Heron, frequency: 91.3 MHz, voice: keeper, sound: rough}}
sounds:
  rough:
    about: what the figures have to come through
    processors:
      - band: 300 Hz to 3.4 kHz
        slope: 24 dB
      {way}
opening: watch
segments:
  watch:
    play:
      - pause: 1 s
{items}
    exits: [{{to: end}}]
"""


def broadcast_of(text: str, folder: Path, speaker: Speaker) -> tuple[Samples, dict[str, int]]:
    """A whole session, and the frame on which each voice begins to read."""
    path = folder / "figures.yaml"
    path.write_text(text, encoding="utf-8")
    programme = load_programme(path)
    broadcast = Broadcast(programme, ItemsMadeHere(programme, speaker), seed=3)
    broadcast.receive(StartSession(), 0)
    blocks, aired = [], []
    while len(aired) < len(VOICES):
        blocks.append(broadcast.render(BLOCK))
        told = [event for event in broadcast.take_events() if isinstance(event, ItemAired)]
        aired += [event for event in told if event.item == "groups"]
    blocks.append(broadcast.render(BLOCK))
    starts = [event.start_frame for event in aired]
    return np.concatenate(blocks), dict(zip(VOICES, starts, strict=True))


def banded(samples: Samples) -> Samples:
    """As the way leaves it, at COMPARED_HZ."""
    return resample_poly(sosfilt(TELEPHONE, samples), 1, RATE // COMPARED_HZ)


def likeness(heard: Samples, figure: Samples) -> float:
    """The largest normalised correlation of a figure with any part of what is heard."""
    whole = hilbert(figure)
    part_power = np.convolve(np.square(heard), np.ones(len(figure)), "valid")
    alike = np.abs(np.correlate(heard, whole, "valid"))
    return float((alike / np.sqrt(part_power * np.square(figure).sum())).max())


def found_in_slots(reader: Reader, heard: Samples, start: int) -> list[tuple[str, str]]:
    """For each slot the figure that was scheduled, and the one that is likest."""
    clips = {figure: banded(samples) for figure, samples in reader.figures.items()}
    margin = round(LATE_S * COMPARED_HZ)
    found = []
    for figure, offset in reader.slots():
        first = round((start + offset) * COMPARED_HZ / RATE) - margin
        likest = max(
            FIGURES,
            key=lambda one: likeness(
                heard[first : first + len(clips[one]) + 2 * margin], clips[one]
            ),
        )
        found.append((figure, likest))
    return found


@pytest.mark.parametrize(
    "way",
    [
        pytest.param(NOISY, id="noise 5 dB over the speech"),
        pytest.param(FADING, id="two paths as in Rec. ITU-R F.1487, mid-latitude moderate"),
    ],
)
def test_every_figure_is_in_its_slot(way, readers, speaker, tmp_path):
    """All voices in one broadcast: 10 figures each, or 20 where groups are read twice."""
    sent, starts = broadcast_of(script(way), tmp_path, speaker)
    heard = banded(sent)
    wrong = {}
    for name, reader in readers.items():
        found = found_in_slots(reader, heard, starts[name])
        assert "".join(figure for figure, _ in found).startswith("41972")
        missed = [(figure, likest) for figure, likest in found if figure != likest]
        if missed:
            wrong[name] = missed
    assert wrong == {}


def test_another_figure_is_found_out(readers):
    """The check can fail: where two figures are read for each other, it says so."""
    reader = readers["keeper"]
    slots = reader.slots()
    dry = np.zeros(slots[-1][1] + 2 * RATE, dtype=np.float32)
    swapped = {"4": "9", "9": "4"}
    for figure, start in slots:
        said = reader.figures[swapped.get(figure, figure)]
        dry[RATE // 2 + start :][: len(said)] += said
    found = found_in_slots(reader, banded(dry), RATE // 2)
    assert [each for each in found if each[0] != each[1]] == [("4", "9"), ("9", "4")]
