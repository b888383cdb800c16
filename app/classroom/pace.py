"""The clock of a class: how long each part has taken, and how long it was to take."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from time import monotonic

MOST_STEP_S = 1800.0


@dataclass(frozen=True)
class Part:
    """One part of a class: its opening, a lesson, its closing; how long it is to take. [s]"""

    key: str
    words: str
    planned_s: float


@dataclass(frozen=True)
class Reading:
    """Where the clock stands. All in seconds.

    Attributes
    ----------
    ahead_s : how much less time was taken than planned up to here; negative is behind. A part
        under way counts as planned until it is overrun.
    """

    part_spent_s: float
    part_planned_s: float
    spent_s: float
    planned_s: float
    ahead_s: float


class Pace:
    """Adds up the time that each part was shown, also over a break and a restart.

    Parameters
    ----------
    now_s : a clock that only goes forward. [s]
    """

    def __init__(
        self,
        parts: Sequence[Part],
        spent_s: Mapping[str, float] | None = None,
        now_s: Callable[[], float] = monotonic,
    ) -> None:
        self.parts = tuple(parts)
        self._spent_s = dict(spent_s or {})
        self._now_s = now_s
        self._at = ""
        self._since_s = self._screen_since_s = now_s()

    def show(self, part: str) -> None:
        """Count from here on for a part, and for a screen that begins now."""
        self._settle()
        self._at, self._screen_since_s = part, self._since_s

    def stop(self) -> None:
        """Count for nothing until something is shown again."""
        self._settle()
        self._at = ""

    @property
    def spent_s(self) -> dict[str, float]:
        """What each part has taken so far. [s]"""
        self._settle()
        return dict(self._spent_s)

    @property
    def screen_s(self) -> float:
        """How long the present screen has been shown. [s]"""
        return self._now_s() - self._screen_since_s

    def reading(self) -> Reading:
        """Return where the clock stands in the part shown and in the whole."""
        spent_s = self.spent_s
        keys = [part.key for part in self.parts]
        at = keys.index(self._at) if self._at in keys else 0
        now = self.parts[at]
        here_s = spent_s.get(now.key, 0.0)
        total_s = sum(spent_s.get(key, 0.0) for key in keys)
        before_s = sum(part.planned_s for part in self.parts[:at])
        due_s = before_s + min(here_s, now.planned_s)
        planned_s = sum(part.planned_s for part in self.parts)
        return Reading(here_s, now.planned_s, total_s, planned_s, due_s - total_s)

    def _settle(self) -> None:
        now_s = self._now_s()
        if self._at:
            # A computer that slept through the night was not teaching.
            step_s = min(max(now_s - self._since_s, 0.0), MOST_STEP_S)
            self._spent_s[self._at] = self._spent_s.get(self._at, 0.0) + step_s
        self._since_s = now_s


def clock_text(seconds: float) -> str:
    """Return a length of time as minutes and seconds: 4:05."""
    whole = round(abs(seconds))
    return f"{whole // 60}:{whole % 60:02d}"


def ahead_words(ahead_s: float) -> str:
    """Return how far the class is before or behind its plan."""
    if abs(ahead_s) < 30:
        return "on time"
    return f"{clock_text(ahead_s)} {'ahead' if ahead_s > 0 else 'behind'}"
