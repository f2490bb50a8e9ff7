"""Figures copied by a listener who knows nothing of our voices; the whole table is a benchmark."""

import pytest

from broadcaster.script.loading import load_programme
from broadcaster.script.programme import SpokenItem
from broadcaster.script.shelves import script_files, shipped_voices
from broadcaster.voice.speaker import Speaker
from tests.services import needs_package
from tests.voice.recogniser import AERONAUTICAL, PLAIN, Listener, balanced_groups, edits, group_said

pytestmark = needs_package("pocketsphinx")
GROUPS, SEED = 4, 9
LISTENERS = {"plain": Listener(PLAIN), "aeronautical": Listener(AERONAUTICAL)}


def voices_on_air():
    """The English voices that the shipped scripts use."""
    profiles = shipped_voices()
    used = set()
    for script in script_files().values():
        programme = load_programme(script)
        used |= {
            programme.voice_name_of(item)
            for _, item in programme.items()
            if isinstance(item, SpokenItem)
        }
    return sorted(name for name in used if profiles[name].language == "en")


@pytest.mark.parametrize("name", voices_on_air())
def test_figures_are_copied(name):
    """At least 19 of 20 figures of each English voice on air are copied as they were sent."""
    profile = shipped_voices()[name]
    sent = balanced_groups(SEED, GROUPS)
    said = [group_said(group, profile, Speaker(None)) for group in sent]
    assert LISTENERS[profile.figures].score(sent, said, SEED).right >= 0.95


@pytest.mark.parametrize(
    ("sent", "copied", "wrong"),
    [("41972", "41972", 0), ("41972", "41922", 1), ("41972", "4197", 1), ("41972", "", 5)],
)
def test_edits(sent, copied, wrong):
    """Figures changed, added and lost each count one."""
    assert edits(sent, copied) == wrong


def test_groups_are_balanced():
    """Each figure comes equally often, and another seed is another order."""
    groups = balanced_groups(7)
    assert sorted("".join(groups)) == sorted("0123456789" * 15)
    assert groups != balanced_groups(8)
