"""Odds as plain data, for JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from model.export.answers_data import answers_data
from model.odds.answers import Answers
from model.odds.half_months import HalfMonth
from model.odds.odds import Odds, StationOdds
from model.odds.shares import Share
from model.results.wording import name_at


def as_data(found: Odds, asked: Sequence[Answers | None] = ()) -> dict[str, Any]:
    """Return odds in plain numbers, lists and texts; shares from 0 to 1.

    ``asked`` holds the answers about each station, where they were asked for.
    Members of a station that is not run are null. ``outlasts[i][j]`` is the share of trips in
    which station i receives longer than j. Of a half-month, one number for each station.
    """
    stations = range(len(found.stations))
    return {
        "trips": found.trips,
        "basis": found.basis,
        "stations": [
            {
                "name": name_at(found.scenario, index),
                "odds": _members(found.stations[index]),
                "answers": answers_data(asked[index] if asked else None),
            }
            for index in stations
        ],
        "outlasts": [[_outlasts(found, one, other) for other in stations] for one in stations],
        "half_months": [_half_month(half) for half in found.half_months],
    }


def _half_month(half: HalfMonth) -> dict[str, Any]:
    return {
        "start": half.start.isoformat(),
        "basis": half.basis,
        "holds": [share and share.value for share in half.holds],
        "holds_low": [share and share.low for share in half.holds],
        "holds_high": [share and share.high for share in half.holds],
        "receive": [share and share.value for share in half.receive],
        "receive_low": [share and share.low for share in half.receive],
        "receive_high": [share and share.high for share in half.receive],
    }


def _members(station: StationOdds | None) -> dict[str, Any]:
    of: Any = station
    shares: dict[str, Share | None] = {
        "holds": of and of.holds,
        "reserve": of and of.reserve,
        "receive": of and of.receive,
        "full_power": of and of.full_power,
    }
    members: dict[str, Any] = {}
    for name, share in shares.items():
        members[name] = share.value if share else None
        members[f"{name}_low"] = share.low if share else None
        members[f"{name}_high"] = share.high if share else None
    members["loss_of_load"] = station.loss_of_load_share if station else None
    members["drivers"] = [
        {"path": one.path, "origin": one.origin, "rank": one.rank_share, "on": one.on}
        for one in (station.drivers if station else ())
    ]
    return members


def _outlasts(found: Odds, one: int, other: int) -> float | None:
    shares = found.outlasts(one, other)
    return shares.first_share if shares else None
