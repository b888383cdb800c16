"""How long a class is planned to take, part by part, and how long a room of people needs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from model.lessons.playlist import ClassPlan


@dataclass(frozen=True)
class PlannedPart:
    """A part of a class with the time it is planned to begin [min].

    Attributes
    ----------
    lesson, step : place of the lesson in the playlist and of the question in the lesson, counted
        from 0; None where the part belongs to no lesson.
    """

    name: str
    begin_min: float
    planned_min: float
    lesson: int | None = None
    step: int | None = None

    @property
    def end_min(self) -> float:
        """When it is planned to end [min]."""
        return self.begin_min + self.planned_min


@dataclass(frozen=True)
class Room:
    """How quick a room is; by itself the one that playlists are planned for.

    Attributes
    ----------
    people : who guess.
    answer_s : for one guess to be said and typed [s].
    silence_s, talk_s : for each question [s].
    """

    people: int = 12
    answer_s: float = 4.0
    silence_s: float = 60.0
    talk_s: float = 90.0


def planned_parts(plan: ClassPlan) -> tuple[PlannedPart, ...]:
    """Return the parts of a class in their order, without those that take no time."""
    found: list[PlannedPart] = []
    begin_min = 0.0
    for name, took_min, lesson, step in _parts(plan):
        if took_min > 0:
            found.append(PlannedPart(name, begin_min, took_min, lesson, step))
            begin_min += took_min
    return tuple(found)


def planned_min(plan: ClassPlan) -> float:
    """Return how long a class is planned to take [min]."""
    return sum(part.planned_min for part in planned_parts(plan))


def walked_min(plan: ClassPlan, room: Room | None = None) -> float:
    """Return how long a room needs that guesses twice at each question [min].

    The guesses, the silence and the talk take what the room needs for them, everything else what is
    planned.
    """
    room = room or Room()
    twice_s = 2 * room.people * room.answer_s + room.silence_s + room.talk_s
    playlist = plan.playlist
    total = playlist.late_min + playlist.opening_min + playlist.closing_min
    for asked in plan.lessons:
        for step in asked.steps:
            parts = asked.lesson.steps[step].planned
            other_min = parts.reason_min + parts.measure_min + parts.reveal_min + parts.change_min
            total += twice_s / 60 + other_min
    return total


def _parts(plan: ClassPlan) -> Iterator[tuple[str, float, int | None, int | None]]:
    playlist = plan.playlist
    yield "late", playlist.late_min, None, None
    yield "opening", playlist.opening_min, None, None
    for place, asked in enumerate(plan.lessons):
        for step in asked.steps:
            parts = asked.lesson.steps[step].planned
            for name in ("guess", "reason", "talk", "second", "measure", "reveal", "change"):
                yield name, getattr(parts, f"{name}_min"), place, step
    yield "closing", playlist.closing_min, None, None
