"""How readable a colour is on another (WCAG 2.2), and every pair that a console has drawn."""

from collections.abc import Iterator

from rich.style import Style

from broadcaster.console.app import Console

LEAST = 4.5
"""WCAG 2.2, SC 1.4.3 (level AA), for text of any size."""


def luminance(colour: str) -> float:
    """Relative luminance of #rrggbb, as WCAG 2.2 defines it."""
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, from 1 to 21, as WCAG 2.2 defines it."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def drawn_pairs(console: Console) -> set[tuple[str, str]]:
    """Letters and ground of all that stands on the screen."""
    return set(_pairs(console))


def _pairs(console: Console) -> Iterator[tuple[str, str]]:
    for panel in console.panels:
        if not panel.is_on_screen:
            continue
        for y in range(panel.size.height):
            for segment in panel.render_line(y):
                if segment.text.strip():
                    yield colours(segment.style)


def colours(style: Style | None) -> tuple[str, str]:
    """Letters and ground of a style; every run of letters names both, and none flashes."""
    assert style is not None
    assert style.color is not None
    assert style.bgcolor is not None
    assert not style.dim
    assert not style.blink
    return style.color.name, style.bgcolor.name
