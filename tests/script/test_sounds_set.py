"""Period sounds of a script's own, and how their values are written."""

from pathlib import Path

import jsonschema
import pytest
import yaml

import broadcaster
from broadcaster.errors import UnreadableError
from broadcaster.script.loading import load_programme
from broadcaster.script.schema import script_schema
from broadcaster.script.shelves import shipped_sounds
from broadcaster.script.sounds_set import share, time_constant

SHIPPED = Path(broadcaster.__file__).parent / "period" / "sounds.yaml"
SCRIPT = """
programme: Low Water
station:
  callsign: Heron
  frequency: 91.3 MHz
  voice: keeper
  sound: {sound}
opening: watch
segments:
  watch:
    repeat: yes
    play: [say: Heron calling.]
sounds:
"""


def test_a_sound_is_copied_and_changed(tmp_path: Path) -> None:
    """Every shipped table can stand in a script as it is, and a changed number is heard of."""
    tables = SHIPPED.read_text("utf-8")
    tables = tables.replace("coastal 1958:", "my coast:").replace("hiss: -41", "hiss: -33")
    tables = "".join(f"  {line}\n" for line in tables.splitlines())
    script = tmp_path / "script.yaml"
    script.write_text(SCRIPT.format(sound="my coast") + tables, "utf-8")
    programme = load_programme(script)
    coast = shipped_sounds()["coastal 1958"]
    changed = [row for row in programme.period.processors if row not in coast.processors]
    assert [row.hiss for row in changed] == [-33.0]
    assert len(programme.period.processors) == len(coast.processors)
    shipped = shipped_sounds().items()
    assert [name for name, sound in shipped if programme.sounds.get(name) != sound] == [
        "coastal 1958"
    ]


def test_an_own_sound_takes_the_place_of_a_shipped_one(tmp_path: Path) -> None:
    """A script's `clean` is its own."""
    script = tmp_path / "script.yaml"
    script.write_text(SCRIPT.format(sound="clean") + "  clean: {about: Mine.}\n", "utf-8")
    assert load_programme(script).period.about == "Mine."


def test_sounds_may_stand_in_a_shared_file(tmp_path: Path) -> None:
    """A file that a script includes can hold sounds for it."""
    script = tmp_path / "script.yaml"
    whole = SCRIPT.format(sound="my set").replace("sounds:\n", "include: [sounds.yaml]\n")
    script.write_text(whole, "utf-8")
    (tmp_path / "sounds.yaml").write_text("sounds:\n  my set: {about: Shared.}\n", "utf-8")
    assert load_programme(script).period.about == "Shared."


def test_an_editor_takes_every_shipped_table(tmp_path: Path) -> None:
    """An independent validator finds nothing to say about them, as a YAML 1.1 parser reads them."""
    script = yaml.safe_load(SCRIPT.format(sound="clean"))
    script["sounds"] = yaml.safe_load(SHIPPED.read_text("utf-8"))
    jsonschema.Draft7Validator(script_schema()).validate(script)


@pytest.mark.parametrize(
    ("written", "read"), [("0.3 %", 0.003), ("100%", 1.0), ("12.5 %", 0.125), (0.5, 0.5)]
)
def test_shares(written: object, read: float) -> None:
    """A share is written in per cent."""
    assert share(written) == pytest.approx(read)


@pytest.mark.parametrize("written", ["0.3", "-1 %", "%", "0.3 percent", "1 % %"])
def test_what_is_no_share(written: str) -> None:
    """Without its sign, or with a minus, it is none."""
    with pytest.raises(UnreadableError, match="is not a share"):
        share(written)


@pytest.mark.parametrize("written", ["50", "50 ms", "50 µs", "-50 us", "0.05 us"])
def test_what_is_no_time_constant(written: str) -> None:
    """Whole microseconds, written `us`, are wanted."""
    assert time_constant("75 us") == pytest.approx(75e-6)
    with pytest.raises(UnreadableError, match="is not a time constant"):
        time_constant(written)
