"""A block dragged by hand: nothing overlaps, nothing that sends is lost, no hole stays behind."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from model.editing.drag_plan import Part, dragged
from model.editing.edit_plan import QUIET, Plan, with_times
from model.scenario.scenario import Block

DAY_MIN = 1440
PARTS: tuple[Part, ...] = ("whole", "start", "end")


def block(start: str, end: str, activity: str = "watch", **changes: object) -> Block:
    return Block.model_validate({"start": start, "end": end, "activity": activity} | changes)


def told(plan: Plan) -> list[str]:
    return [f"{each.start}-{each.end} {each.activity}" for each in plan]


def taken(plan: Plan) -> list[int]:
    """Count how many blocks cover each minute, written the slow and obvious way."""
    count = [0] * DAY_MIN
    for each in plan:
        for minute in range(*each.minutes):
            count[minute % DAY_MIN] += 1
    return count


@st.composite
def plans(draw: st.DrawFn, *, is_full: bool = False) -> Plan:
    cuts = sorted(draw(st.sets(st.integers(0, 287), min_size=2, max_size=9)))
    spans = list(pairwise([*cuts, cuts[0] + 288]))
    if not is_full:
        spans = draw(st.lists(st.sampled_from(spans), unique=True, min_size=1))
    kinds = st.sampled_from(("watch", "off", "voice", "slots"))
    return tuple(
        with_times(block("00:00", "24:00", draw(kinds)), begin * 5, end * 5) for begin, end in spans
    )


@given(plans(), st.sampled_from(PARTS), st.integers(-1500, 1500), st.data())
def test_no_drag_makes_blocks_overlap_or_loses_one_that_sends(
    plan: Plan, part: Part, by: int, data: st.DataObject
) -> None:
    index = data.draw(st.integers(0, len(plan) - 1))
    after = dragged(plan, index, part, by)
    assert max(taken(after.plan)) == 1
    before_kinds = sorted(each.activity for each in plan if each.activity not in QUIET)
    assert before_kinds == sorted(e.activity for e in after.plan if e.activity not in QUIET)
    assert after.plan[after.index].activity == plan[index].activity


@given(plans(is_full=True), st.sampled_from(PARTS), st.integers(-1500, 1500), st.data())
def test_a_full_day_stays_full(plan: Plan, part: Part, by: int, data: st.DataObject) -> None:
    index = data.draw(st.integers(0, len(plan) - 1))
    after = dragged(plan, index, part, by)
    assert taken(after.plan) == [1] * DAY_MIN


@given(plans(), st.integers(-700, 700), st.data())
def test_a_drag_goes_as_far_as_asked_or_says_why_not(
    plan: Plan, by: int, data: st.DataObject
) -> None:
    index = data.draw(st.integers(0, len(plan) - 1))
    after = dragged(plan, index, "whole", by)
    start, end = plan[index].minutes
    new_start, new_end = after.plan[after.index].minutes
    assert new_end - new_start == end - start
    went = (new_start - start + 720) % DAY_MIN - 720
    assert bool(after.stopped) == (went != by)
    assert abs(went) <= abs(by)


DAY = (
    block("06:00", "12:00", note="calling channel"),
    block("12:00", "13:00", "voice"),
    block("13:00", "20:00", listen_share=0.083),
    block("20:00", "21:00", "voice"),
    block("21:00", "06:00"),
)


@pytest.mark.parametrize(
    ("index", "part", "by", "expected", "stopped"),
    [
        (1, "whole", 60, ["06:00-13:00", "13:00-14:00", "14:00-20:00"], ""),
        (1, "whole", -60, ["06:00-11:00", "11:00-12:00", "12:00-20:00"], ""),
        (1, "end", 30, ["06:00-12:00", "12:00-13:30", "13:30-20:00"], ""),
        (1, "end", -30, ["06:00-12:00", "12:00-12:30", "12:30-20:00"], ""),
        (1, "start", -30, ["06:00-11:30", "11:30-13:00", "13:00-20:00"], ""),
        (0, "end", 30, ["06:00-12:30", "12:30-13:00", "13:00-20:00"], ""),
        (0, "end", 90, ["06:00-12:55", "12:55-13:00", "13:00-20:00"], "shorter"),
        (1, "whole", 999, ["06:00-19:00", "19:00-20:00", "20:00-21:00"], "20:00 to 21:00 is in"),
    ],
)  # fmt: skip
def test_edges_are_pushed_and_pulled(
    index: int, part: Part, by: int, expected: list[str], stopped: str
) -> None:
    after = dragged(DAY, index, part, by)
    assert [each.split()[0] for each in told(after.plan)][:3] == expected
    assert stopped in after.stopped
    assert bool(stopped) == bool(after.stopped)


def test_two_nets_that_touch_leave_watch_between_them_when_they_part() -> None:
    plan = (block("08:00", "09:00", "voice"), block("09:00", "10:00", "morse"),
            block("10:00", "08:00"))  # fmt: skip
    after = dragged(plan, 1, "whole", 60)
    assert told(after.plan) == [
        "08:00-09:00 voice", "10:00-11:00 morse", "09:00-10:00 watch", "11:00-08:00 watch",
    ]  # fmt: skip
    shared = dragged(plan, 0, "end", 30)
    assert told(shared.plan)[:2] == ["08:00-09:30 voice", "09:30-10:00 morse"]


def test_free_time_stays_free_behind_a_block_that_had_it_on_both_sides() -> None:
    plan = (block("06:00", "08:00"), block("18:00", "20:00", "voice"))
    assert told(dragged(plan, 1, "whole", 240).plan) == ["06:00-08:00 watch", "22:00-24:00 voice"]
    assert told(dragged(plan, 1, "whole", -660).plan) == ["06:00-07:00 watch", "07:00-09:00 voice"]


def test_a_block_moves_across_midnight_and_ends_with_the_day_at_24() -> None:
    plan = (block("22:00", "23:30"), block("06:00", "07:00"))
    assert dragged(plan, 0, "whole", 60).plan[0].minutes == (1380, 1470)
    assert told(dragged(plan, 0, "whole", 30).plan)[0] == "22:30-24:00 watch"


def test_a_block_of_the_whole_day_says_that_it_cannot_move() -> None:
    plan = (block("00:00", "24:00"),)
    assert dragged(plan, 0, "whole", 60).stopped == "the block takes the whole day"
    assert dragged(plan, 0, "end", 60).stopped == "the block takes the whole day"
    assert told(dragged(plan, 0, "end", -60).plan) == ["00:00-23:00 watch"]
