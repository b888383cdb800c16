"""A block of the 24-hour plan dragged by hand: its neighbours give way and no hole stays behind.

Watch and off are quiet: they get shorter, longer or vanish as a block is pushed along. Whatever
sends keeps its hours unless it shares the edge that is dragged. A drag is worked out from the plan
as it was when it began, so that dragging back gives back what vanished.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from model.editing.edit_plan import QUIET, Plan, with_times
from model.scenario.declare import MINUTES_A_DAY
from model.scenario.scenario import PLAN_LIMIT, Block

Part = Literal["whole", "start", "end"]
# A drag makes no block shorter, unless it was so before. [min]
LEAST_DRAGGED_MIN = 5
SHORTEST = "a block cannot get any shorter this way"
LONGEST = "the block takes the whole day"
NO_ROOM = "the day has no more room this way"
FULL = f"a plan holds at most {PLAN_LIMIT} blocks"


@dataclass(frozen=True)
class Dragged:
    """What a drag comes to.

    Attributes
    ----------
    plan : the plan after it.
    index : where the dragged block stands in that plan.
    stopped : why it did not go all the way; empty where it did.
    """

    plan: Plan
    index: int
    stopped: str


@dataclass(frozen=True)
class _Piece:
    """A block on a line that begins at the edge that is pushed and runs on ahead of it. [min]"""

    begin_min: int
    end_min: int
    block: Block
    at: int

    @property
    def is_quiet(self) -> bool:
        return self.block.activity in QUIET

    def from_min(self, begin_min: int) -> _Piece:
        return replace(self, begin_min=max(self.begin_min, begin_min))


def dragged(plan: Plan, index: int, part: Part, by_min: int) -> Dragged:
    """Return the plan with a block, or one edge of it, dragged by so many minutes."""
    start, end = plan[index].minutes
    if part == "whole" and end - start >= MINUTES_A_DAY:
        return Dragged(plan, index, LONGEST)
    way = _Way(plan, index, is_back=by_min < 0 if part == "whole" else part == "start")
    ahead = -by_min if way.is_back else by_min
    if part == "whole":
        pieces, went, stopped = way.pushed(ahead)
        by = -went if way.is_back else went
        new_start, new_end = start + by, end + by
    else:
        pieces, went, stopped = way.stretched(ahead)
        new_start = start - went if way.is_back else start
        new_end = end if way.is_back else end + went
    if not went:
        return Dragged(plan, index, stopped)
    return way.rebuilt(with_times(plan[index], new_start, new_end), pieces, stopped)


class _Way:
    """The other blocks as they lie ahead of one edge of a block, forwards or back in time."""

    def __init__(self, plan: Plan, index: int, *, is_back: bool) -> None:
        self.is_back = is_back
        self._plan, self._index = plan, index
        start, end = plan[index].minutes
        self._edge = start if is_back else end
        self._length = end - start
        self._room = MINUTES_A_DAY - self._length
        self._pieces = sorted(
            (self._piece(at) for at in range(len(plan)) if at != index),
            key=lambda piece: piece.begin_min,
        )

    def _piece(self, at: int) -> _Piece:
        block = self._plan[at]
        start, end = block.minutes
        begin = (self._edge - end if self.is_back else start - self._edge) % MINUTES_A_DAY
        return _Piece(begin, begin + end - start, block, at)

    def pushed(self, by_min: int) -> tuple[list[_Piece], int, str]:
        """Return the others with the whole block pushed ahead, how far it went, and why not on."""
        stop = next((piece for piece in self._pieces if not piece.is_quiet), None)
        limit = stop.begin_min if stop is not None else self._room
        went = min(by_min, limit)
        stopped = ""
        if went < by_min:
            stopped = NO_ROOM if stop is None else _in_the_way(stop.block)
        behind = self._pieces[-1] if self._pieces else None
        if behind is not None and behind.is_quiet and behind.end_min == self._room:
            # It follows with the edge it shares, and what lies ahead is pushed aside.
            pulled = replace(behind, end_min=self._room + went)
            pieces = [*self._pieces[:-1], pulled]
            kept = [piece.from_min(went) for piece in pieces if piece.end_min > went]
            return kept, went, stopped
        return self._passed(went), went, stopped

    def _passed(self, went: int) -> list[_Piece]:
        """Return the others with the block set down further on, in the midst of what is quiet."""
        begin, end = went - self._length, went
        kept: list[_Piece] = []
        for piece in self._pieces:
            if not piece.is_quiet:
                kept.append(piece)
                continue
            # What it shared an edge with takes over the hours it leaves.
            first = -self._length if piece.begin_min == 0 else piece.begin_min
            before = replace(piece, begin_min=first, end_min=min(piece.end_min, begin))
            after = piece.from_min(end)
            halves = [half for half in (before, after) if half.begin_min < half.end_min]
            kept += [replace(half, at=-1) if number else half for number, half in enumerate(halves)]
        return kept

    def stretched(self, by_min: int) -> tuple[list[_Piece], int, str]:
        """Return the others with one edge dragged ahead, or back where ``by_min`` is negative."""
        if by_min < 0:
            least = min(LEAST_DRAGGED_MIN, self._length)
            went = max(by_min, least - self._length)
            pieces = [
                replace(piece, begin_min=went) if piece.begin_min == 0 else piece
                for piece in self._pieces
            ]
            return pieces, went, SHORTEST if went > by_min else ""
        limit, reason = self._room, LONGEST
        for piece in self._pieces:
            if piece.is_quiet:
                continue
            least = min(LEAST_DRAGGED_MIN, piece.end_min - piece.begin_min)
            shares_edge = piece.begin_min == 0
            limit = piece.end_min - least if shares_edge else piece.begin_min
            reason = SHORTEST if shares_edge else _in_the_way(piece.block)
            break
        went = min(by_min, limit)
        kept = [piece.from_min(went) for piece in self._pieces if piece.end_min > went]
        return kept, went, reason if went < by_min else ""

    def rebuilt(self, block: Block, pieces: list[_Piece], stopped: str) -> Dragged:
        """Return the plan in the order it had; what was cut off a block comes last."""
        known = {piece.at: piece for piece in pieces if piece.at >= 0}
        plan: list[Block] = []
        index = 0
        for at in range(len(self._plan)):
            if at == self._index:
                index = len(plan)
                plan.append(block)
            elif at in known:
                plan.append(self._placed(known[at]))
        plan += [self._placed(piece) for piece in pieces if piece.at < 0]
        if len(plan) > PLAN_LIMIT:
            return Dragged(self._plan, self._index, FULL)
        return Dragged(tuple(plan), index, stopped)

    def _placed(self, piece: _Piece) -> Block:
        start = self._edge - piece.end_min if self.is_back else self._edge + piece.begin_min
        return with_times(piece.block, start, start + piece.end_min - piece.begin_min)


def _in_the_way(block: Block) -> str:
    return f"the block from {block.start} to {block.end} is in the way"
