"""Lines out of the bytes of a serial line, however they are cut."""


class Lines:
    """Takes bytes, gives lines; keeps no more than one line in memory."""

    def __init__(self, longest: int) -> None:
        """`longest`: bytes of a line."""
        self._longest = longest
        self._begun = b""
        self._skipping = False

    def take(self, data: bytes) -> list[str | None]:
        """The lines that are complete now; None for one that is too long, or no text in UTF-8."""
        *ended, begun = data.split(b"\n")
        lines: list[str | None] = []
        for end in ended:
            line, skipped = self._begun + end, self._skipping
            self._begun, self._skipping = b"", False
            if not skipped:
                lines.append(self._text(line))
        self._begun = b"" if self._skipping else self._begun + begun
        if len(self._begun) > self._longest:
            lines.append(None)
            self._begun, self._skipping = b"", True
        return lines

    def _text(self, line: bytes) -> str | None:
        try:
            return line.decode() if len(line) <= self._longest else None
        except UnicodeDecodeError:
            return None
