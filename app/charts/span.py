"""Which stretch of a run is shown, and where a minute stands across it."""

from __future__ import annotations

from dataclasses import dataclass

LEAST_MIN = 30.0
Minutes = tuple[float, float]


@dataclass
class Span:
    """The stretch shown in elapsed minutes, never outside the run, and its place in pixels."""

    low: float = 0.0
    high: float = 1440.0
    total: float = 1440.0
    left_px: float = 0.0
    width_px: float = 600.0

    @property
    def is_whole(self) -> bool:
        """Whether all of the run is shown."""
        return self.low <= 0.0 and self.high >= self.total

    def set_total(self, total: float) -> None:
        """Take over the length of another run; a stretch that was zoomed to stays if it can."""
        was_whole = self.is_whole
        self.total = total
        if was_whole:
            self.low, self.high = 0.0, total
        else:
            self.show(self.low, self.high)

    def show(self, low: float, high: float) -> None:
        """Show a stretch, at least half an hour, at most the run."""
        length = self.kept_length(high - low)
        middle = (low + high) / 2
        self.low = min(max(middle - length / 2, 0.0), self.total - length)
        self.high = self.low + length

    def kept_length(self, length: float) -> float:
        """Return the nearest length that may be shown."""
        return min(max(length, LEAST_MIN), self.total)

    def px(self, minute: float, left: float, right: float) -> float:
        """Return where a minute stands between two edges."""
        return left + (minute - self.low) / (self.high - self.low) * (right - left)

    def minute(self, px: float, left: float, right: float) -> float:
        """Return the minute that stands at a place between two edges."""
        if right <= left:
            return self.low
        return self.low + (px - left) / (right - left) * (self.high - self.low)
