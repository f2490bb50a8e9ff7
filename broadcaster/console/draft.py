"""A line that the operator writes: its letters, and the cursor between two of them."""

from dataclasses import dataclass

from broadcaster.console.words import one_line


@dataclass(slots=True)
class Draft:
    """What is written so far; cursor: how many letters stand before it."""

    text: str = ""
    cursor: int = 0

    def put(self, text: str) -> None:
        """Take what is written over: the cursor stands at its end."""
        self.text, self.cursor = text, len(text)

    def add(self, letters: str) -> None:
        """Letters at the cursor; line breaks become spaces."""
        letters = letters if len(letters) == 1 else one_line(letters)
        self.text = self.text[: self.cursor] + letters + self.text[self.cursor :]
        self.cursor += len(letters)

    def press(self, key: str, letter: str | None) -> bool:
        """A key; whether it belongs to writing."""
        before, after = self.text[: self.cursor], self.text[self.cursor :]
        match key:
            case "backspace":
                self.text, self.cursor = before[:-1] + after, max(0, self.cursor - 1)
            case "delete":
                self.text = before + after[1:]
            case "left":
                self.cursor = max(0, self.cursor - 1)
            case "right":
                self.cursor = min(len(self.text), self.cursor + 1)
            case "home":
                self.cursor = 0
            case "end":
                self.cursor = len(self.text)
            case "ctrl+u":
                self.put("")
            case _ if letter and letter.isprintable():
                self.add(letter)
            case _:
                return False
        return True
