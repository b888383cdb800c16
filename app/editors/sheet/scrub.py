"""Dragging over a number makes it larger or smaller."""

from __future__ import annotations

from dataclasses import dataclass

from app.editors.sheet.rows import facts_of
from app.editors.sheet.writing import path_of, stations_with, write
from app.state.edit_context import Desk
from app.widgets.number_text import shown_as, step_of

# So far the pointer goes before it drags, and for each step of the number.
BEGIN_PX, STEP_PX = 4, 6


@dataclass
class Scrub:
    """A drag that begins on a number; each step is one in its second digit, within its bounds."""

    desk: Desk
    key: str
    index: int
    # What the number was when the drag began, in the field's own unit.
    value: float
    from_px: int
    is_begun: bool = False

    def move(self, to_px: int, *, everywhere: bool) -> bool:
        """Follow the pointer; return whether it drags."""
        way = to_px - self.from_px
        if not self.is_begun and abs(way) < BEGIN_PX:
            return False
        self.is_begun = True
        facts = facts_of(self.key)
        shown = shown_as(facts, us=self.desk.display.is_us)
        here = shown.of(self.value)
        step = max(step_of(here), 1.0) if facts.kind == "whole" else step_of(here)
        value = shown.back(round(here / step + int(way / STEP_PX)) * step)
        value = self._within(round(value, 10))
        stations = stations_with(self.desk.document.scenario, self.key)
        wanted = int(value) if facts.kind == "whole" else value
        targets = stations if everywhere else [self.index]
        write(self.desk, self.key, wanted, targets, path_of(self.key, self.index))
        return True

    def end(self) -> None:
        """Let go: the next drag is an undo step of its own."""
        self.desk.document.end_burst()

    def _within(self, value: float) -> float:
        """Return a value held within the bounds of its field [in its unit]."""
        facts = facts_of(self.key)
        low, high = facts.low, facts.high
        if isinstance(low, int | float) and (value < low or (facts.low_open and value <= low)):
            return self.value if facts.low_open else float(low)
        if isinstance(high, int | float) and (value > high or (facts.high_open and value >= high)):
            return self.value if facts.high_open else float(high)
        return value
