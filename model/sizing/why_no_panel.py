"""Why no panel, however large, lets a station hold: found by taking one hindrance away."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta

import numpy as np

from model.sizing.criterion import Shortfall, Trial, search_holding
from model.sky.timeline import timeline
from model.support.figures import day_and_time
from model.support.progress import Search, within

# No cells are met that are colder.
NO_FROST_C = -60.0
GRID = 48
LARGE_BATTERY_BY = 16.0
# A day with no more light than this at any time is dark.
DARK_W_M2 = 1.0


def search_why_no_panel(asked: Trial, failure: Shortfall, low: float, high: float) -> Search[str]:
    """Find why no panel lets a station hold.

    Parameters
    ----------
    asked : what the station goes through.
    failure : of the panel that comes nearest.
    low, high : sizes looked at, over the station's own [1].

    Returns
    -------
    Gives the share done, 0..1, and at its end the sentence.
    """
    by = np.geomspace(low, high, GRID)
    hindrances = list(_without_one(asked))
    for place, (hindrance, freed) in enumerate(hindrances):
        begin, end = (place / len(hindrances), (place + 1) / len(hindrances))
        held, _ = yield from within(search_holding(freed, panel_by=by), begin, end)
        if held.any():
            return f"no panel is enough: {hindrance}. With the best, {failure.words}"
    dark = _dark_day(asked)
    if dark is not None:
        return f"no panel is enough: no sun reaches it in the 24 h from {dark}"
    return f"no panel is enough: with the best, {failure.words}"


def _dark_day(asked: Trial) -> str | None:
    """Return when the first day begins on which no light reaches the panel."""
    light = asked.inputs(asked.station).irradiance_w_m2.reshape(asked.trip.days, -1).max(axis=1)
    dark = np.flatnonzero(light < DARK_W_M2)
    if not dark.size:
        return None
    begin = timeline(asked.site, asked.trip).start + timedelta(days=int(dark[0]))
    return day_and_time(begin, asked.trip.days)


def _without_one(asked: Trial) -> Iterator[tuple[str, Trial]]:
    """Yield each hindrance by name, with the trial without it."""
    battery, controller = asked.station.battery, asked.station.controller
    thawed = battery.model_copy(update={"charge_min_c": NO_FROST_C})
    yield "frost stops charging", _with(asked, battery=thawed)
    level = asked.site.model_copy(update={"horizon": ()})
    yield "the horizon hides the sun", replace(asked, site=level)
    quick = battery.model_copy(update={"charge_limit_a": None})
    yield "the battery's charge limit is too low", _with(asked, battery=quick)
    if controller is not None:
        free = controller.model_copy(update={"output_limit_a": None})
        yield "the controller's output limit is too low", _with(asked, controller=free)
    large = battery.model_copy(update={"capacity_ah": battery.capacity_ah * LARGE_BATTERY_BY})
    yield "the battery is too small for the time without sun", _with(asked, battery=large)


def _with(asked: Trial, **parts: object) -> Trial:
    return replace(asked, station=asked.station.model_copy(update=parts))
