"""The clock of a class, against sums done by hand."""

from __future__ import annotations

from app.classroom.pace import Pace, Part, ahead_words, clock_text

PARTS = (Part("a", "A", 120.0), Part("b", "B", 300.0), Part("c", "C", 60.0))


class Clock:
    """A clock that is set by hand."""

    def __init__(self) -> None:
        self.at_s = 1000.0

    def __call__(self) -> float:
        return self.at_s


def test_each_part_takes_the_time_it_is_shown() -> None:
    clock = Clock()
    pace = Pace(PARTS, now_s=clock)
    pace.show("a")
    clock.at_s += 90
    pace.show("b")
    clock.at_s += 200
    read = pace.reading()
    assert (read.part_spent_s, read.part_planned_s) == (200.0, 300.0)
    assert (read.spent_s, read.planned_s) == (290.0, 480.0)
    # A took 30 s less than its 120 s; B counts as planned until it is overrun.
    assert read.ahead_s == 30.0
    clock.at_s += 160
    # 360 s in B, 60 more than planned, less the 30 saved.
    assert pace.reading().ahead_s == -30.0
    pace.show("a")
    clock.at_s += 10
    assert pace.spent_s == {"a": 100.0, "b": 360.0}


def test_a_break_and_a_sleep_of_the_computer_are_not_counted() -> None:
    clock = Clock()
    pace = Pace(PARTS, {"a": 50.0}, clock)
    pace.show("a")
    clock.at_s += 10
    pace.stop()
    clock.at_s += 500
    pace.show("b")
    assert pace.spent_s == {"a": 60.0, "b": 0.0}
    clock.at_s += 36000
    assert pace.spent_s["b"] == 1800.0


def test_a_screen_has_its_own_time() -> None:
    clock = Clock()
    pace = Pace(PARTS, now_s=clock)
    pace.show("a")
    clock.at_s += 40
    pace.show("a")
    clock.at_s += 5
    assert pace.screen_s == 5.0
    assert pace.reading().part_spent_s == 45.0


def test_times_are_said_as_minutes_and_seconds() -> None:
    assert [clock_text(each) for each in (0, 59.6, 245, 4200)] == ["0:00", "1:00", "4:05", "70:00"]
    assert [ahead_words(each) for each in (10, 95, -61)] == ["on time", "1:35 ahead", "1:01 behind"]
