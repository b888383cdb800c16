"""The model's functions of light, air, cells and runs on a planned day without a climate."""

from typing import Any

from model.engine import inputs as engine_inputs
from model.engine import run as engine_run
from model.scenario.scenario import Day
from model.sky import irradiance, weather
from model.sky.trip import Trip, planned_on


def _trip(day: Day | Trip) -> Trip:
    return day if isinstance(day, Trip) else planned_on(day)


def sky(site, day, *rest, **named) -> Any:
    return irradiance.sky(site, _trip(day), *rest, **named)


def panel_light(site, day, *rest, **named) -> Any:
    return irradiance.panel_light(site, _trip(day), *rest, **named)


def air_c(site, day, *rest, **named) -> Any:
    return weather.air_c(site, _trip(day), *rest, **named)


def station_inputs(site, day, *rest, **named) -> Any:
    return engine_inputs.station_inputs(site, _trip(day), *rest, **named)


def run_station(site, day, *rest, **named) -> Any:
    return engine_run.run_station(site, _trip(day), *rest, **named)
