"""Changes of the 24-hour plan: whatever is done, blocks never overlap and none is lost."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from model.editing import edit_plan as plan_edit
from model.editing.edit_plan import NoRoomError
from model.scenario.scenario import Block

DAY_MIN = 1440


def block(start: str, end: str, activity: str = "watch", **changes: object) -> Block:
    return Block.model_validate({"start": start, "end": end, "activity": activity} | changes)


def times(plan: tuple[Block, ...]) -> list[tuple[str, str]]:
    return [(each.start, each.end) for each in plan]


def taken(plan: tuple[Block, ...]) -> list[int]:
    """Count how many blocks cover each minute, written the slow and obvious way."""
    count = [0] * DAY_MIN
    for each in plan:
        start, end = each.minutes
        for minute in range(start, end):
            count[minute % DAY_MIN] += 1
    return count


@st.composite
def plans(draw: st.DrawFn) -> tuple[Block, ...]:
    cuts = sorted(draw(st.sets(st.integers(0, DAY_MIN - 1), min_size=2, max_size=10)))
    turn = draw(st.integers(0, 1))
    edges = [*cuts, cuts[0] + DAY_MIN]
    spans = list(pairwise(edges))
    kept = draw(st.lists(st.sampled_from(spans), unique=True, min_size=1, max_size=len(spans)))
    base = block("00:00", "24:00", "voice" if turn else "watch")
    return tuple(plan_edit.with_times(base, start, end) for start, end in kept)


@given(plans())
def test_gaps_and_blocks_fill_the_day(plan: tuple[Block, ...]) -> None:
    count = taken(plan)
    for begin, end in plan_edit.gaps(plan):
        for minute in range(begin, end):
            count[minute % DAY_MIN] += 1
    assert count == [1] * DAY_MIN


@given(plans(), st.integers(0, 1439), st.integers(0, 1439))
def test_a_painted_block_takes_only_free_time(
    plan: tuple[Block, ...], anchor: int, other: int
) -> None:
    changed = plan_edit.painted(plan, anchor, other, block("00:00", "24:00", "fm"))
    assert max(taken(changed)) == 1
    assert changed[: len(plan)] == plan


@given(plans(), st.floats(0.0, 1.0))
def test_a_watch_pattern_leaves_no_gap_and_touches_no_sending(
    plan: tuple[Block, ...], share: float
) -> None:
    changed = plan_edit.watched(plan, share, block("00:00", "24:00"))
    assert taken(changed) == [1] * DAY_MIN
    sending = [each for each in plan if each.activity == "voice"]
    assert [each for each in changed if each.activity == "voice"] == sending


def test_snapping_goes_to_the_nearest() -> None:
    assert [plan_edit.snapped(m, 5) for m in (0, 2.4, 2.6, 7.4, -2.6)] == [0, 0, 5, 5, -5]


def test_a_split_gives_two_blocks_alike() -> None:
    net = block("22:00", "02:00", "voice", rf_w=10.0, transmit_share=0.2)
    plan = (net, block("06:00", "07:00"))
    halves = plan_edit.split(plan, 0, 30)
    assert times(halves) == [("22:00", "00:30"), ("00:30", "02:00"), ("06:00", "07:00")]
    assert halves[0].rf_w == halves[1].rf_w == 10.0
    with pytest.raises(NoRoomError, match="06:30 does not lie inside"):
        plan_edit.split(plan, 0, 390)


def test_a_copy_goes_into_the_next_free_time_that_holds_it() -> None:
    plan = (block("06:00", "08:00", note="a"), block("09:00", "10:00"))
    assert times(plan_edit.duplicated(plan, 0))[-1] == ("10:00", "12:00")
    assert plan_edit.duplicated(plan, 0)[-1].note == "a"
    with pytest.raises(NoRoomError, match=r"no free time of 23.h"):
        plan_edit.duplicated((block("01:00", "24:00"),), 0)


def test_a_copy_of_a_net_takes_the_time_of_watch() -> None:
    plan = (block("08:00", "09:00", "voice"), block("09:00", "08:00", note="calling channel"))
    assert times(plan_edit.duplicated(plan, 0)) == [
        ("08:00", "09:00"), ("10:00", "08:00"), ("09:00", "10:00"),
    ]  # fmt: skip


def test_typed_times_that_meet_another_block_are_refused() -> None:
    plan = (block("06:00", "07:00"), block("22:00", "02:00"))
    with pytest.raises(NoRoomError, match="01:00 to 03:00 meets the block from 22:00 to 02:00"):
        plan_edit.replaced(plan, 0, block("01:00", "03:00"))
    assert times(plan_edit.replaced(plan, 0, block("02:00", "22:00")))[0] == ("02:00", "22:00")


def test_nets_cut_the_watch_and_respect_what_sends() -> None:
    plan = (block("00:00", "24:00", listen_share=0.25),)
    net = block("00:00", "24:00", "voice", rf_w=20.0, transmit_share=0.1)
    changed = plan_edit.with_nets(plan, (480, 1425), 30, net)
    assert taken(changed) == [1] * DAY_MIN
    nets = [each for each in changed if each.activity == "voice"]
    assert times(tuple(nets)) == [("08:00", "08:30"), ("23:45", "00:15")]
    assert times(tuple(each for each in changed if each.activity == "watch")) == [
        ("00:15", "08:00"), ("08:30", "23:45"),
    ]  # fmt: skip
    with pytest.raises(NoRoomError, match="meets the block from 08:00"):
        plan_edit.with_nets(changed, (490,), 30, net)


def test_a_pattern_says_how_much_of_the_hour_is_heard() -> None:
    # Five minutes of sixty are 0.083, fifteen 0.25: the share a field of three decimals shows.
    shares = [plan_edit.FIVE_MINUTES_AN_HOUR, plan_edit.FIFTEEN_MINUTES_AN_HOUR]
    assert [round(share * 60) for share in shares] == [5, 15]
    assert [round(share, 3) for share in shares] == shares
    changed = plan_edit.watched((), plan_edit.FIVE_MINUTES_AN_HOUR, block("01:00", "02:00", "off"))
    assert [(each.start, each.end, each.activity, each.listen_share) for each in changed] == [
        ("00:00", "24:00", "watch", 0.083)
    ]


def test_a_pattern_keeps_notes_and_never_turns_planned_off_into_watch() -> None:
    plan = (
        block("06:00", "18:00", note="calling channel"),
        block("18:00", "19:00", "voice", rf_w=20.0, transmit_share=0.2, note="net"),
        block("22:00", "06:00", "off", note="sleep"),
    )
    changed = plan_edit.watched(plan, plan_edit.FIVE_MINUTES_AN_HOUR, block("00:00", "24:00"))
    told = [(b.start, b.end, b.activity, b.listen_share, b.note) for b in changed]
    # By hand: one watch block changes its share, the net and the sleep stay, 19 to 22 is filled.
    assert told == [
        ("06:00", "18:00", "watch", 0.083, "calling channel"),
        ("18:00", "19:00", "voice", 1.0, "net"),
        ("22:00", "06:00", "off", 1.0, "sleep"),
        ("19:00", "22:00", "watch", 0.083, ""),
    ]


def test_no_change_makes_a_plan_too_long() -> None:
    many = tuple(
        plan_edit.with_times(block("00:00", "24:00"), 2 * n, 2 * n + 1) for n in range(500)
    )
    with pytest.raises(NoRoomError, match="at most 500 blocks"):
        plan_edit.duplicated(many, 0)
