"""The rows of both tables: a row for each station in each block that sends."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from app.pages.signal.words import (
    NOTHING_SENT,
    block_words,
    clear_words,
    distance_words,
    signal_words,
    signed,
    spoken_block,
    unknown_cell,
    unknown_words,
)
from app.state.display import Display
from app.widgets.number_text import fixed
from model.results.signal_levels import BlockSignals, Signal
from model.results.wording import letter
from model.scenario.scenario import Scenario
from model.station.rf_exposure import GROUPS, Exposure

HEARD_HEADS = (
    "Block", "Station", "At the antenna", f"Above {letter(0)}", "S-units",
    "Battery current per W",
)  # fmt: skip
CLEAR_HEADS = ("Block", "Station", "Public", "Operators")
DASH = "–"
ALIKE = "as for the public"

# The distances of each station.
Exposed = tuple[tuple[Exposure, ...], ...]


@dataclass(frozen=True)
class Row:
    """One station in one block.

    ``spoken`` names both for those who hear it, ``detail`` is the whole in sentences.
    """

    cells: tuple[str, ...]
    spoken: str
    detail: str


def heard_rows(scenario: Scenario, blocks: tuple[BlockSignals, ...]) -> tuple[Row, ...]:
    """Return what each station puts on the air, block by block."""
    return tuple(
        _heard_row(scenario, block.block_index, index, signal)
        for block in blocks
        for index, signal in enumerate(block.signals)
    )


def _heard_row(scenario: Scenario, place: int, index: int, signal: Signal) -> Row:
    block = scenario.plan[place]
    spoken = f"{spoken_block(block)}, {letter(index)}"
    cells = (NOTHING_SENT, DASH, DASH, DASH)
    if signal.rf_w > 0:
        is_first = index == 0
        cells = (
            fixed(signal.antenna_w, 1, "W"),
            DASH if is_first else signed(signal.over_first_db, "dB"),
            DASH if is_first else signed(signal.over_first_s_units),
            fixed(signal.per_watt_a, 3, "A"),
        )
    detail = f"{spoken}: {signal_words(signal, index)}"
    return Row((block_words(block), letter(index), *cells), spoken, detail)


def clear_rows(
    scenario: Scenario, blocks: tuple[BlockSignals, ...], exposed: Exposed, display: Display
) -> tuple[Row, ...]:
    """Return how far both groups keep from each station, block by block."""
    found = [_by_block(each) for each in exposed]
    return tuple(
        _clear_row(scenario, block.block_index, index, found[index], signal, display)
        for block in blocks
        for index, signal in enumerate(block.signals)
    )


def _by_block(found: tuple[Exposure, ...]) -> dict[int, list[Exposure]]:
    blocks: dict[int, list[Exposure]] = {}
    for each in found:
        blocks.setdefault(each.block_index, []).append(each)
    return blocks


def _clear_row(
    scenario: Scenario,
    place: int,
    index: int,
    found: dict[int, list[Exposure]],
    signal: Signal,
    display: Display,
) -> Row:
    block = scenario.plan[place]
    spoken = f"{spoken_block(block)}, {letter(index)}"
    by_group = {each.group: each for each in found.get(place, [])}
    if signal.rf_w <= 0:
        cells, words = [NOTHING_SENT] * 2, f"{NOTHING_SENT}."
    elif by_group:
        cells = [
            distance_words(by_group[group], display) if group in by_group else unknown_cell(block)
            for group in GROUPS
        ]
        if cells[1] == cells[0] and all(each.is_near_field for each in by_group.values()):
            # The long sentence is written once, so that both columns are seen.
            cells[1] = ALIKE
        words = " ".join(clear_words(each, block, display) for each in by_group.values())
    else:
        cells, words = [unknown_cell(block)] * 2, unknown_words(block)
    return Row((block_words(block), letter(index), *cells), spoken, f"{spoken}: {words}")


def farthest_lines(
    scenario: Scenario, blocks: tuple[BlockSignals, ...], exposed: Exposed, display: Display
) -> Iterator[str]:
    """Return for each station the distances that hold in every block whose limits are known."""
    for index, found in enumerate(exposed):
        if not found:
            continue
        sending = sum(block.signals[index].rf_w > 0 for block in blocks)
        is_all = len({each.block_index for each in found}) == sending
        over = "over all these blocks" if is_all else "over the blocks whose limits are known"
        apart = [distance_words(_farthest(found, group), display) for group in GROUPS]
        words = [f"{head.lower()}: {far}" for head, far in zip(CLEAR_HEADS[2:], apart, strict=True)]
        if len(set(apart)) == 1:
            words = [f"{apart[0]}, public and operators alike"]
        yield f"{letter(index)}, {over}: {'; '.join(words)}."


def _farthest(found: tuple[Exposure, ...], group: str) -> Exposure:
    return max((each for each in found if each.group == group), key=_distance_m)


def _distance_m(found: Exposure) -> float:
    return found.distance_m
