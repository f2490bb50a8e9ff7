"""The sheet of spectrograms: the right picture of the right sound, its axes labelled."""

import struct
import xml.etree.ElementTree as ET
import zlib
from base64 import b64decode

import numpy as np
import pytest

from broadcaster.cli import main
from broadcaster.rehearsal.picture_image import SHADES, png
from broadcaster.rehearsal.picture_sounds import on_air, sounds_picture, spectrogram_db
from broadcaster.rehearsal.picture_svg import INK, PAPER
from broadcaster.script.shelves import shipped_sounds
from broadcaster.units import RATE, silence
from tests.period.streams import noise

SVG = "{http://www.w3.org/2000/svg}"


def chunks_of(data: bytes) -> dict[bytes, bytes]:
    """What a PNG holds, by the kind of chunk; fails unless every sum is right."""
    assert data.startswith(b"\x89PNG\r\n\x1a\n")
    chunks, place = {}, 8
    while place < len(data):
        (length,) = struct.unpack_from(">I", data, place)
        kind, body = data[place + 4 : place + 8], data[place + 8 : place + 8 + length]
        assert struct.unpack_from(">I", data, place + 8 + length) == (zlib.crc32(kind + body),)
        chunks[kind] = body
        place += 12 + length
    return chunks


def test_a_png_holds_its_shades() -> None:
    """Size, kind, palette from paper to ink and every shade, read back by the standard's layout."""
    shades = np.arange(12, dtype=np.uint8).reshape(3, 4)
    chunks = chunks_of(png(shades))
    assert struct.unpack(">IIBBBBB", chunks[b"IHDR"]) == (4, 3, 8, 3, 0, 0, 0)
    assert chunks[b"PLTE"][:3] == bytes.fromhex(PAPER[1:])
    assert chunks[b"PLTE"][-3:] == bytes.fromhex(INK[1:])
    assert len(chunks[b"PLTE"]) == 3 * SHADES
    lines = np.frombuffer(zlib.decompress(chunks[b"IDAT"]), np.uint8).reshape(3, 5)
    assert not lines[:, 0].any()
    np.testing.assert_array_equal(lines[:, 1:], shades)


def test_a_tone_is_one_line() -> None:
    """2 kHz at -20 dB: its line, counted from the top, is at -20 dB, and all else is fainter."""
    tone = 0.1 * np.sin(2 * np.pi * 2000 * np.arange(RATE) / RATE)
    levels = spectrogram_db(tone.astype(np.float32)).mean(axis=1)
    line = len(levels) - 1 - 2000 // 25
    assert levels.argmax() == line
    assert levels[line] == pytest.approx(-20.0, abs=0.1)
    assert np.delete(levels, [line - 1, line, line + 1]).max() < -80.0


@pytest.mark.parametrize("name", ["clean", "worn tape 1962", "portable VHF 1970"])
def test_what_goes_out_is_in_step(name: str) -> None:
    """Whatever a sound delays, its picture begins where the programme does, within 20 ms."""
    programme = np.concatenate([silence(RATE), noise(RATE // 2, 0.1), silence(RATE // 2)])
    heard = on_air(shipped_sounds()[name], programme)
    assert len(heard) == len(programme)
    loud = np.square(heard.reshape(-1, 480)).mean(axis=1)
    assert np.flatnonzero(loud > loud.max() / 4.0)[0] == pytest.approx(100, abs=2)


def test_the_sheet_shows_every_sound() -> None:
    """Names, hertz and seconds are written; each sound has an image of its own."""
    sounds = {name: shipped_sounds()[name] for name in ("clean", "coastal 1958")}
    heard = []
    sheet = sounds_picture(sounds, noise(2 * RATE, 0.05), lambda *news: heard.append(news))
    root = ET.fromstring(sheet.svg())
    words = [text.text for text in root.iter(f"{SVG}text")]
    assert {*sounds, "8000 Hz", "2000", "1", "2 s", "-30 dB"} <= set(words)
    images = [image.get("href") for image in root.iter(f"{SVG}image")]
    assert len(set(images)) == 3  # a ramp of shades, and the two
    for image in images:
        assert chunks_of(b64decode(image.removeprefix("data:image/png;base64,")))
    assert heard == [(0, 2), (1, 2), (2, 2)]


def test_the_command_draws_them_all(tmp_path, capsys) -> None:
    """`broadcaster sounds --picture` speaks the sentence and writes a sheet of every sound."""
    assert main(["sounds", "--picture", str(tmp_path / "sounds.svg")]) == 0
    words = [text.text for text in ET.parse(tmp_path / "sounds.svg").iter(f"{SVG}text")]
    assert set(shipped_sounds()) <= set(words)
    assert [sound.about for sound in shipped_sounds().values() if sound.about not in words] == []
    assert "every sound" in capsys.readouterr().out
