"""Where the venue's settings are looked for."""

from pathlib import Path

import pytest

from broadcaster.desk.places import settings_file


@pytest.fixture
def folder(tmp_path, monkeypatch) -> Path:
    """A user whose own settings lie in `own`, and who types in `here`; nothing is written yet."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "own"))
    monkeypatch.setenv("APPDATA", str(tmp_path / "own"))
    for name in ("own/broadcaster", "here", "show"):
        (tmp_path / name).mkdir(parents=True)
    monkeypatch.chdir(tmp_path / "here")
    return tmp_path


def written(path: Path) -> Path:
    path.write_text("")
    return path


def test_settings_lie_beside_the_script_else_in_the_users_own_folder(folder) -> None:
    """And one that was asked for comes before both."""
    script = str(folder / "show" / "script.yaml")
    assert settings_file(None, script) is None
    own = written(folder / "own" / "broadcaster" / "station.yaml")
    written(folder / "here" / "station.yaml")
    assert settings_file(None, script) == own
    beside = written(folder / "show" / "station.yaml")
    assert settings_file(None, script) == beside
    assert settings_file("asked.yaml", script) == Path("asked.yaml")


def test_of_a_script_that_ships_the_current_folder_counts(folder) -> None:
    """It is given by its name alone, and where it is installed nobody has settings."""
    written(folder / "own" / "broadcaster" / "station.yaml")
    here = written(folder / "here" / "station.yaml")
    found = settings_file(None, "low-water")
    assert found is not None
    assert found.resolve() == here
