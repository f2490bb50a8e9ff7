"""What `check` says of settings that are without fault, and will be missed or regretted."""

import os
from pathlib import Path

import pytest

from broadcaster.room.advice import settings_advice
from broadcaster.script.venue_settings import read_settings
from tests.room.make import two_segments


def advice(folder: Path, text: str) -> list[str]:
    """What is said, each with its line and column."""
    path = folder / "station.yaml"
    path.write_text(text)
    found = settings_advice(path, read_settings(path, two_segments()))
    return [f"{f.place.line}:{f.place.column} {f.message} {f.mend}" for f in found]


def secret(folder: Path, text: str, rights: int = 0o600) -> None:
    """A file with a secret, beside the settings."""
    (folder / "word").write_text(text)
    (folder / "word").chmod(rights)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("http: {token file: ./lost}", "1:20 The secret in "),
        ("http: {token file: pasted-in-place-of-it}", "1:20 The file with the secret is not there"),
        ("http: {token file: word}", "1:20 The token has 5 characters; 16 are the least. Until"),
        ("http: {token from: NEVER_SET}", "1:20 The environment variable NEVER_SET is not set"),
        ("mqtt: {broker: b, user: u, password from: NEVER_SET}", "1:43 The environment variable"),
        ("osc: {port: 9000, address: 0.0.0.0}", "1:28 Whoever is in this network can command"),
    ],
)
def test_what_will_be_missed_is_told_at_its_place(tmp_path, monkeypatch, text, said) -> None:
    """A secret that is not there or too short; and a door of OSC that is open to a network."""
    monkeypatch.delenv("NEVER_SET", raising=False)
    secret(tmp_path, "short")
    (told,) = advice(tmp_path, text)
    assert told.startswith(said)
    assert "pasted" not in told


@pytest.mark.parametrize(
    "text",
    [
        "# nothing",
        "http: {port: 8091}",
        "http: {token file: word}",
        "mqtt: {broker: b, user: u, password file: word}",
        "osc: {port: 9000}",
        "osc: {address: 0.0.0.0}",
        "osc: {port: 9000, address: 0.0.0.0, callers: [192.0.2.9]}",
    ],
)
def test_what_is_in_order_is_not_spoken_of(tmp_path, text) -> None:
    """Nor what does not listen."""
    secret(tmp_path, "a-token-of-many-letters")
    assert advice(tmp_path, text) == []


@pytest.mark.skipif(os.name != "posix", reason="rights are told by POSIX systems alone")
def test_a_secret_that_all_can_read_is_told(tmp_path) -> None:
    """With what takes that right away."""
    secret(tmp_path, "a-token-of-many-letters", rights=0o644)
    for text in ("http: {token file: word}", "mqtt: {broker: b, user: u, password file: word}"):
        (told,) = advice(tmp_path, text)
        assert "Every user of this machine can read this" in told
        assert "`chmod 600 word`" in told
