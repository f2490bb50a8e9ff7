"""Secrets come from a file or the environment."""

import pytest

from broadcaster.errors import UsageError
from broadcaster.room.secret import read_secret


def test_a_secret_is_the_first_line_of_a_file_beside_the_settings(tmp_path) -> None:
    """Without the line's end."""
    (tmp_path / "token.txt").write_text("a secret \nand a remark\n")
    assert read_secret(tmp_path, "token.txt", None) == "a secret"


def test_a_secret_may_stand_in_the_environment(tmp_path, monkeypatch) -> None:
    """Under the name that the settings give."""
    monkeypatch.setenv("HERON_TOKEN", "another")
    assert read_secret(tmp_path, None, "HERON_TOKEN") == "another"
    assert read_secret(tmp_path, None, None) is None


def test_a_secret_that_is_not_there_is_no_empty_secret(tmp_path, monkeypatch) -> None:
    """Whoever forgot it is told; no door opens with nothing for a key."""
    (tmp_path / "empty").write_text("\n")
    (tmp_path / "binary").write_bytes(b"\xff\xfe\x00")
    monkeypatch.setenv("BLANK", " ")
    for file, variable in (("nothing", None), ("empty", None), ("binary", None), (".", None)):
        with pytest.raises(UsageError):
            read_secret(tmp_path, file, variable)
    for variable in ("BLANK", "NEVER_SET"):
        with pytest.raises(UsageError, match=variable):
            read_secret(tmp_path, None, variable)


@pytest.mark.parametrize("pasted", ["d8Kf-3_vQw7Zp1Lx", "seventeen herons", "d8Kf/3vQw7+p1Lx="])
def test_a_secret_in_the_place_of_its_file_is_not_repeated(tmp_path, pasted) -> None:
    """What is told would stand in the log, and on the screen."""
    with pytest.raises(UsageError) as error:
        read_secret(tmp_path, pasted, None)
    assert pasted not in str(error.value)
    assert "name that file" in str(error.value)


def test_a_path_that_leads_nowhere_is_told(tmp_path) -> None:
    """It is no secret."""
    with pytest.raises(UsageError, match="secrets/desk-token cannot be read: No such file"):
        read_secret(tmp_path, "secrets/desk-token", None)
