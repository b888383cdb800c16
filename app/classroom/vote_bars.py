"""Hands raised for each choice as bars, in both rounds, and after the reveal which one is right."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QRectF

from app.classroom.picture import LEFT, Lettering, Picture

LABEL_SHARE = 0.5
KEY_LINES = 1.6
# Room for a count beside its bar.
COUNT_LINES = 2.0


@dataclass(frozen=True)
class Choice:
    """One choice: its letter, words, votes by round, and after the reveal its value."""

    letter: str
    words: str
    first: int
    second: int | None = None
    value: str = ""
    is_right: bool = False

    def line(self) -> str:
        """Return it in words."""
        votes = f"{self.first}" if self.second is None else f"{self.first}, then {self.second}"
        value = f", {self.value}" if self.value else ""
        return f"{self.letter} {self.words}{value}: {votes}{', right' if self.is_right else ''}"


class VoteBars(Picture):
    """A row for each choice; the longest bar stands for most votes."""

    lines_least = 7.0

    def __init__(self) -> None:
        super().__init__()
        self._choices: tuple[Choice, ...] = ()

    def show_choices(self, choices: tuple[Choice, ...]) -> None:
        """Show the votes."""
        self._choices = choices
        self.say("Votes", [choice.line() for choice in choices])
        self.update()

    def forget(self) -> None:
        """Hold no votes."""
        self._choices = ()
        self.say("")
        self.update()

    def has_something(self) -> bool:
        return bool(self._choices)

    def paint(self, pen: Lettering) -> None:
        px, twice = pen.px, any(choice.second is not None for choice in self._choices)
        top = self._paint_key(pen) if twice else 0.0
        pitch = min((pen.room.height() - top) / len(self._choices), px * 4.5)
        most = max((max(each.first, each.second or 0) for each in self._choices), default=0)
        for number, choice in enumerate(self._choices):
            room = QRectF(0, top + number * pitch, pen.room.width(), pitch)
            self._paint_choice(pen, room, choice, max(most, 1))

    def _paint_key(self, pen: Lettering) -> float:
        px, x = pen.px, pen.room.width() * LABEL_SHARE + pen.px
        for words, colour in (("first", pen.faint), ("after talking", pen.accent)):
            pen.painter.fillRect(QRectF(x, px * 0.4, px, px * 0.8), colour)
            wide = pen.width(words)
            pen.put(QRectF(x + px * 1.3, 0, wide, px * 1.5), LEFT, words, colour=pen.quiet)
            x += px * 2.3 + wide
        return px * KEY_LINES

    def _paint_choice(self, pen: Lettering, room: QRectF, choice: Choice, most: int) -> None:
        px = pen.px
        bar_left = room.width() * LABEL_SHARE + px
        if choice.is_right:
            pen.painter.fillRect(room.adjusted(0, 1, 0, -1), pen.ink.twilight)
        value = f"  {choice.value}" if choice.value else ""
        label = QRectF(px * 0.3, room.top(), room.width() * LABEL_SHARE, room.height())
        pen.put(label, LEFT, f"{choice.letter}   {choice.words}{value}", bold=choice.is_right)
        bars = [(choice.first, pen.faint)]
        if choice.second is not None:
            bars.append((choice.second, pen.accent))
        thick = min((room.height() - px * 0.3) / len(bars), px * 1.35)
        top = room.center().y() - thick * len(bars) / 2
        longest = room.width() - bar_left - px * (0.8 + COUNT_LINES * len(bars))
        most_here = max(votes for votes, _ in bars)
        for number, (votes, colour) in enumerate(bars):
            y = top + number * thick
            long = max(longest * votes / most, 2)
            pen.painter.fillRect(QRectF(bar_left, y + 2, long, thick - 4), colour)
        # Side by side: above one another two counts would need twice the height.
        x = bar_left + longest * most_here / most + px * 0.4
        for number, (votes, _) in enumerate(bars):
            is_last = number == len(bars) - 1
            left = x + number * px * COUNT_LINES
            beside = QRectF(left, room.top(), px * COUNT_LINES, room.height())
            pen.put(beside, LEFT, str(votes), colour=None if is_last else pen.quiet)
