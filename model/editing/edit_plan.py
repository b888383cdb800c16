"""Changes of the 24-hour plan: each takes a plan and returns another, never with an overlap.

A plan is a tuple of blocks on a circle of 1440 minutes. A block keeps its place in the tuple when
it moves, so that its path stays the same. Minutes count from local midnight.
"""

from __future__ import annotations

from collections.abc import Sequence

from model.scenario.declare import MINUTES_A_DAY, clock_of
from model.scenario.scenario import PLAN_LIMIT, Block
from model.support.figures import duration

Plan = tuple[Block, ...]
Gap = tuple[int, int]

LEAST_MIN = 1
QUIET = ("watch", "off")
# What a watch pattern leaves on of each hour, as the share of the rest spent listening.
CONTINUOUS = 1.0
FIVE_MINUTES_AN_HOUR = 0.083
FIFTEEN_MINUTES_AN_HOUR = 0.25


class NoRoomError(ValueError):
    """A change that the plan has no free time for; says in one sentence where it fails."""


def snapped(minute: float, grid_min: int) -> int:
    """Return the nearest multiple of a grid. [min]"""
    return int((minute + grid_min / 2) // grid_min) * grid_min


def with_times(block: Block, start_min: int, end_min: int) -> Block:
    """Return a block with another start and end; the end may lie past midnight. [min]"""
    end = end_min % MINUTES_A_DAY or MINUTES_A_DAY
    return block.model_copy(
        update={"start": clock_of(start_min % MINUTES_A_DAY), "end": clock_of(end)}
    )


def block_at(plan: Plan, minute: float) -> int | None:
    """Return the index of the block that covers a minute of the day, None in free time."""
    for index, block in enumerate(plan):
        start, end = block.minutes
        if start <= minute < end or start <= minute + MINUTES_A_DAY < end:
            return index
    return None


def gaps(plan: Plan) -> tuple[Gap, ...]:
    """Return the free time, in order of its start; a gap across midnight ends past 1440. [min]"""
    if not plan:
        return ((0, MINUTES_A_DAY),)
    spans = sorted(block.minutes for block in plan)
    found = []
    for (_, end), (start, _) in zip(spans, [*spans[1:], spans[0]], strict=True):
        begin = end % MINUTES_A_DAY
        length = (start - begin) % MINUTES_A_DAY
        if len(plan) == 1:
            length = MINUTES_A_DAY - (spans[0][1] - spans[0][0])
        if length:
            found.append((begin, begin + length))
    return tuple(sorted(found))


def painted(plan: Plan, anchor_min: int, other_min: int, block: Block) -> Plan:
    """Return the plan with a new block from the anchor towards another minute, at its end.

    It stops at the neighbours of the free time in which the anchor lies; without room there, the
    plan comes back as it was.
    """
    for low, high in gaps(plan):
        for shift in (0, MINUTES_A_DAY):
            anchor, other = anchor_min + shift, other_min + shift
            if not low <= anchor <= high:
                continue
            start, end = sorted((anchor, min(max(other, low), high)))
            end = min(end, start + MINUTES_A_DAY)
            if end - start >= LEAST_MIN:
                return _grown(plan, with_times(block, start, end))
    return plan


def split(plan: Plan, index: int, at_min: int) -> Plan:
    """Return the plan with a block cut in two at a minute inside it; the later half comes next."""
    start, end = plan[index].minutes
    at = at_min if at_min > start else at_min + MINUTES_A_DAY
    if not start < at < end:
        raise NoRoomError(f"{clock_of(at_min % MINUTES_A_DAY)} does not lie inside this block")
    block = plan[index]
    _refuse_too_many(len(plan) + 1)
    halves = (with_times(block, start, at), with_times(block, at, end))
    return (*plan[:index], *halves, *plan[index + 1 :])


def duplicated(plan: Plan, index: int) -> Plan:
    """Return the plan with a copy of a block in the next time that holds it, at its end.

    A block of watch or off needs free time; one that sends takes the time of watch and off too.
    """
    block = plan[index]
    start, end = block.minutes
    length = end - start
    busy = plan if block.activity in QUIET else tuple(e for e in plan if e.activity not in QUIET)
    fitting = [gap for gap in gaps(busy) if gap[1] - gap[0] >= length]
    if not fitting:
        raise NoRoomError(f"no free time of {duration(length / 60)} for a copy")
    after = min(fitting, key=lambda gap: (gap[0] - end) % MINUTES_A_DAY)
    return with_nets(plan, [after[0]], length, block)


def removed(plan: Plan, index: int) -> Plan:
    """Return the plan without a block."""
    return plan[:index] + plan[index + 1 :]


def replaced(plan: Plan, index: int, block: Block) -> Plan:
    """Return the plan with another block in the place of one; an overlap is refused."""
    others = plan[:index] + plan[index + 1 :]
    _refuse_overlap(others, block)
    return _replaced(plan, index, block)


def watched(plan: Plan, listen_share: float, block: Block) -> Plan:
    """Return the plan with one watch pattern: in its watch blocks and in the free time.

    Blocks of watch keep their times and notes and change their share; what is planned off stays
    off, and blocks of other activities stay as they are.

    Parameters
    ----------
    listen_share : share of the time with the receiver on [1].
    block : what the blocks in free time take their other fields from.
    """
    pattern = {"listen_share": listen_share}
    kept = tuple(
        each.model_copy(update=pattern) if each.activity == "watch" else each for each in plan
    )
    silent = {"activity": "watch", "transmit_share": 0.0, "rf_w": 0.0}
    filling = block.model_copy(update=pattern | silent)
    _refuse_too_many(len(kept) + len(gaps(kept)))
    return kept + tuple(with_times(filling, start, end) for start, end in gaps(kept))


def with_nets(plan: Plan, starts_min: Sequence[int], length_min: int, block: Block) -> Plan:
    """Return the plan with nets at set times; watch and off give way to them.

    Raises
    ------
    NoRoomError
        When a net meets another one or a block that is neither watch nor off.
    """
    changed = plan
    for start in sorted(set(starts_min)):
        net = with_times(block, start, start + length_min)
        busy = tuple(each for each in changed if each.activity not in QUIET)
        _refuse_overlap(busy, net)
        changed = _grown(_cleared(changed, start, start + length_min), net)
    return changed


def _cleared(plan: Plan, start_min: int, end_min: int) -> Plan:
    """Return the plan with a stretch cut out of whatever lies there."""
    pieces: list[Block] = []
    for block in plan:
        begin, end = block.minutes
        cuts = [
            (max(begin, low), min(end, high))
            for low, high in (
                (start_min + shift, end_min + shift) for shift in (-MINUTES_A_DAY, 0, MINUTES_A_DAY)
            )
            if max(begin, low) < min(end, high)
        ]
        at = begin
        for low, high in cuts:
            if low > at:
                pieces.append(with_times(block, at, low))
            at = high
        if at < end:
            pieces.append(with_times(block, at, end) if cuts else block)
    return tuple(pieces)


def _refuse_overlap(others: Plan, block: Block) -> None:
    start, end = block.minutes
    for other in others:
        begin, stop = other.minutes
        if any(
            max(start, begin + shift) < min(end, stop + shift)
            for shift in (-MINUTES_A_DAY, 0, MINUTES_A_DAY)
        ):
            raise NoRoomError(
                f"{block.start} to {block.end} meets the block from {other.start} to {other.end}"
            )


def _replaced(plan: Plan, index: int, block: Block) -> Plan:
    return (*plan[:index], block, *plan[index + 1 :])


def _grown(plan: Plan, block: Block) -> Plan:
    _refuse_too_many(len(plan) + 1)
    return (*plan, block)


def _refuse_too_many(count: int) -> None:
    if count > PLAN_LIMIT:
        raise NoRoomError(f"a plan holds at most {PLAN_LIMIT} blocks")
