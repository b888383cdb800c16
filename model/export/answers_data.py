"""Answers about odds as plain data, for JSON: shares from 0 to 1, null where there is none."""

from __future__ import annotations

from dataclasses import asdict
from math import isnan
from typing import Any

from model.odds.answers import Answers
from model.odds.odds_sizes import OddsFrontier, OddsSize
from model.odds.shares import Share


def answers_data(found: Answers | None) -> dict[str, Any]:
    """Return the answers about one station; every member is null without them."""
    of: Any = found
    sizes = found.sizes if found else None
    return {
        "goal": of and of.goal,
        "wanted": sizes.wanted_share if sizes else None,
        "trips": of and of.trips,
        "now": _share(found.now if found else None),
        "smallest_battery": _size(sizes.battery if sizes else None),
        "smallest_panel": _size(sizes.panel if sizes else None),
        "frontier": _frontier(sizes.frontier if sizes else None),
        "raise": [
            {
                "key": one.key, "change": one.words, "gives_up": one.price,
                "more_kg": one.more_kg, "more_cost": one.more_cost, "odds": _share(one.odds),
            }
            for one in (found.raises if found else ())
        ],
        "measure": [
            {
                "path": one.path, "origin": one.origin, "low": one.low, "high": one.high,
                "narrower": one.narrower_share, "hours": one.width_h,
                "charge": one.width_fraction,
            }
            for one in (found.narrowings if found else ())
        ],
        "more_years": {
            "years": of and of.years and of.years.years,
            "width": of and of.years and of.years.width_now_share,
            "width_then": of and of.years and of.years.width_then_share,
        },
    }  # fmt: skip


def _share(share: Share | None) -> dict[str, float | None]:
    return asdict(share) if share else dict.fromkeys(("value", "low", "high"))


def _size(size: OddsSize | None) -> dict[str, Any]:
    of: Any = size
    return {
        "unit": of and of.unit,
        "carried": of and of.now,
        "size": of and of.value,
        "size_low": of and of.low,
        "size_high": of and of.high,
        "part_kg": of and of.part_kg,
        "station_kg": of and of.station_kg,
        "odds": _share(size.odds if size else None),
        "odds_carried": _share(size.odds_now if size else None),
    }


def _frontier(line: OddsFrontier | None) -> list[dict[str, float | None]]:
    if line is None:
        return []
    rows = zip(
        *(of.tolist() for of in (line.capacity_ah, line.rated_w, line.station_kg, line.met_share)),
        strict=True,
    )
    return [
        {"battery_ah": ah, "panel_w": _known(w), "station_kg": _known(kg), "share": _known(share)}
        for ah, w, kg, share in rows
    ]


def _known(value: float) -> float | None:
    return None if isnan(value) else value
