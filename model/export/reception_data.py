"""What reports say of a station as plain data, for JSON and for a table."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from model.reception.cells import Cell
from model.reception.requests import Answer, too_few
from model.reception.sentences import COVERED_OF_100, ONE_BOUND_OF_100
from model.reception.station_answers import StationAnswers
from model.results.wording import name_at

TABLE_HEADS = (
    "band", "hour", "heard", "heard_with_w", "reports", "evenings", "share_of", "mode", "power_w",
    "share", "share_low", "share_high", "not_known",
)  # fmt: skip


def as_data(found: StationAnswers) -> dict[str, Any]:
    """Return what is known in plain numbers, lists and texts; shares from 0 to 1.

    A share that is not known is null, and ``not_known`` says why. Where one bound alone is known
    the other is 0 or 1.
    """
    price = found.price
    return {
        "station": name_at(found.scenario, found.index),
        "powers_w": list(found.powers_w),
        "amplifier": price
        and {
            "more_ah": price.more_ah,
            "more_kg": price.more_kg,
            "days": price.days,
            "on_the_air_to_the_end": price.is_whole,
        },
        "cells": [
            _cell(one.cell) | {"answers": [_answer(answer) for answer in one.answers]}
            for one in found.cells
        ],
        "too_few": [_cell(cell) | {"not_known": too_few(cell)} for cell in found.few],
        "other_modes": dict(found.other_modes),
        "repeated_rows": found.repeats,
        "interval": {
            "nominal_of_100": 80,
            "covered_of_100": list(COVERED_OF_100),
            "one_bound_of_100": ONE_BOUND_OF_100,
        },
    }


def table_rows(found: StationAnswers) -> Iterator[tuple[object, ...]]:
    """Yield a row for each band, hour, mode and power, in the order of ``TABLE_HEADS``."""
    for one in found.cells:
        for answer in one.answers:
            yield (*_base(one.cell), *_shown(answer))


def _base(cell: Cell) -> tuple[object, ...]:
    return (
        cell.band, cell.hour, cell.mode.label, cell.power_w, cell.reports, cell.evenings,
        _of(cell),
    )  # fmt: skip


def _of(cell: Cell) -> str:
    return "paths tried" if cell.lists_attempts else "paths that heard"


def _shown(answer: Answer) -> tuple[object, ...]:
    share = answer.share
    bounds = (share.share, share.low, share.high) if share else (None, None, None)
    return (answer.mode.label, answer.power_w, *bounds, answer.refusal)


def _cell(cell: Cell) -> dict[str, Any]:
    return {
        "band": cell.band,
        "hour": cell.hour,
        "heard": cell.mode.label,
        "heard_with_w": cell.power_w,
        "reports": cell.reports,
        "evenings": cell.evenings,
        "share_of": _of(cell),
        "attempts_not_heard": int(cell.missed.sum()),
    }


def _answer(answer: Answer) -> dict[str, Any]:
    share = answer.share
    by_ear = answer.by_ear_share or (None, None)
    return {
        "mode": answer.mode.label,
        "power_w": answer.power_w,
        "needed_db": answer.needed_db,
        "share": share and share.share,
        "share_low": share and share.low,
        "share_high": share and share.high,
        "by_ear_low": by_ear[0],
        "by_ear_high": by_ear[1],
        "not_known": answer.refusal,
    }
