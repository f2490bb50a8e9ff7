"""The colours, as pairs: no ink is ever named without the ground that it stands on.

Two watches: by night a dark panel under a lit dial, by day a pale one. Every pair reaches a
contrast of 4.5:1 (WCAG 2.2, SC 1.4.3). The hues that tell states apart are orange, blue and
yellow, which the common kinds of colour blindness keep apart; and each state has its own word or
sign beside the colour.
"""

from dataclasses import dataclass, fields


@dataclass(frozen=True, slots=True)
class Ink:
    """A colour of letters on a colour of ground, both as #rrggbb."""

    letters: str
    ground: str
    bold: bool = False


@dataclass(frozen=True, slots=True)
class Palette:
    """An ink for each role on the screen."""

    dial: Ink
    """The glass of the tuning dial, and what is engraved on it."""
    dial_quiet: Ink
    dial_strong: Ink
    needle: Ink
    line: Ink
    """The message line under the dial."""
    line_key: Ink
    question: Ink
    alarm: Ink
    sign_stalled: Ink
    """The large signs: the team has stalled, the session is held, the plain voice is on air."""
    sign_held: Ink
    sign_plain: Ink
    copy: Ink
    """The copy that is on air: what is still to come of it."""
    copy_large: Ink
    copy_spoken: Ink
    copy_quiet: Ink
    copy_state: Ink
    clue: Ink
    """The tape that marks a clue."""
    panel: Ink
    panel_quiet: Ink
    panel_key: Ink
    panel_on_air: Ink
    panel_next: Ink
    plate: Ink
    """The label plate that names a panel."""
    plate_key: Ink
    plate_worked: Ink
    """The label plate of the panel that the keys work on."""
    chosen: Ink
    """The chosen line of the panel that the keys work on."""
    chosen_idle: Ink
    entry: Ink
    """The line on which the operator writes."""
    entry_cursor: Ink
    log: Ink
    log_quiet: Ink
    log_cut: Ink
    log_trouble: Ink

    def inks(self) -> dict[str, Ink]:
        """Every pair by its role."""
        return {field.name: getattr(self, field.name) for field in fields(self)}


NIGHT = Palette(
    dial=Ink("#22312d", "#e7d5a0"),
    dial_quiet=Ink("#5a5233", "#e7d5a0"),
    dial_strong=Ink("#22312d", "#e7d5a0", bold=True),
    needle=Ink("#a3220a", "#e7d5a0", bold=True),
    line=Ink("#9fb2ad", "#101c1f"),
    line_key=Ink("#f4ecd6", "#101c1f", bold=True),
    question=Ink("#14201f", "#ffcf70", bold=True),
    alarm=Ink("#14201f", "#ffa880", bold=True),
    sign_stalled=Ink("#14201f", "#ffcf70", bold=True),
    sign_held=Ink("#14201f", "#8ccbf2", bold=True),
    sign_plain=Ink("#fff6e8", "#a3220a", bold=True),
    copy=Ink("#e6dfca", "#0c1518"),
    copy_large=Ink("#ffcf70", "#0c1518", bold=True),
    copy_spoken=Ink("#9d8c63", "#0c1518"),
    copy_quiet=Ink("#9fb2ad", "#0c1518"),
    copy_state=Ink("#ff9d6c", "#0c1518", bold=True),
    clue=Ink("#14201f", "#ffcf70", bold=True),
    panel=Ink("#e6dfca", "#18272b"),
    panel_quiet=Ink("#9fb2ad", "#18272b"),
    panel_key=Ink("#f4ecd6", "#18272b", bold=True),
    panel_on_air=Ink("#ff9d6c", "#18272b", bold=True),
    panel_next=Ink("#8ccbf2", "#18272b", bold=True),
    plate=Ink("#c9d6cf", "#2f4749", bold=True),
    plate_key=Ink("#f4ecd6", "#2f4749", bold=True),
    plate_worked=Ink("#14201f", "#8ccbf2", bold=True),
    chosen=Ink("#14201f", "#8ccbf2", bold=True),
    chosen_idle=Ink("#e6dfca", "#2f4749", bold=True),
    entry=Ink("#f4ecd6", "#0a1113"),
    entry_cursor=Ink("#0a1113", "#f4ecd6"),
    log=Ink("#c9cfc2", "#101c1f"),
    log_quiet=Ink("#8fa39e", "#101c1f"),
    log_cut=Ink("#ffcf70", "#101c1f"),
    log_trouble=Ink("#ffa880", "#101c1f", bold=True),
)

DAY = Palette(
    dial=Ink("#f0e4bf", "#15332f"),
    dial_quiet=Ink("#b9bf9f", "#15332f"),
    dial_strong=Ink("#fff6d8", "#15332f", bold=True),
    needle=Ink("#ffa375", "#15332f", bold=True),
    line=Ink("#4b5a58", "#f1ecdc"),
    line_key=Ink("#1b2a2b", "#f1ecdc", bold=True),
    question=Ink("#fff6d8", "#6b4a00", bold=True),
    alarm=Ink("#fff6d8", "#8c2800", bold=True),
    sign_stalled=Ink("#1b2a2b", "#ffc94d", bold=True),
    sign_held=Ink("#f5f9fc", "#0b4e80", bold=True),
    sign_plain=Ink("#fff6e8", "#8c1500", bold=True),
    copy=Ink("#1c2326", "#faf7ee"),
    copy_large=Ink("#1c2326", "#faf7ee", bold=True),
    copy_spoken=Ink("#6e6550", "#faf7ee"),
    copy_quiet=Ink("#4b5a58", "#faf7ee"),
    copy_state=Ink("#9a2b00", "#faf7ee", bold=True),
    clue=Ink("#fff6d8", "#6b4a00", bold=True),
    panel=Ink("#1b2a2b", "#e4e0d2"),
    panel_quiet=Ink("#4b5a58", "#e4e0d2"),
    panel_key=Ink("#101b1c", "#e4e0d2", bold=True),
    panel_on_air=Ink("#9a2b00", "#e4e0d2", bold=True),
    panel_next=Ink("#0b4e80", "#e4e0d2", bold=True),
    plate=Ink("#22383a", "#c3cbc0", bold=True),
    plate_key=Ink("#101b1c", "#c3cbc0", bold=True),
    plate_worked=Ink("#f5f9fc", "#0b4e80", bold=True),
    chosen=Ink("#f5f9fc", "#0b4e80", bold=True),
    chosen_idle=Ink("#1b2a2b", "#c3cbc0", bold=True),
    entry=Ink("#1c2326", "#fffdf6"),
    entry_cursor=Ink("#fffdf6", "#1c2326"),
    log=Ink("#1b2a2b", "#f1ecdc"),
    log_quiet=Ink("#566360", "#f1ecdc"),
    log_cut=Ink("#6b4a00", "#f1ecdc"),
    log_trouble=Ink("#8c2800", "#f1ecdc", bold=True),
)
