"""Where the sun stands, what light falls, the weather on a clock, and drawn days."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from model.sky.climate_days import DaySkies as DaySkies
    from model.sky.climate_days import draw_days as draw_days
    from model.sky.climate_days import draw_years as draw_years
    from model.sky.irradiance import PanelLight as PanelLight
    from model.sky.irradiance import Sky as Sky
    from model.sky.irradiance import panel_light as panel_light
    from model.sky.sun_times import night_spans as night_spans
    from model.sky.sun_times import sun_events as sun_events
    from model.sky.timeline import Timeline as Timeline
    from model.sky.trip import Trip as Trip
    from model.sky.trip import planned as planned
    from model.sky.weather import air_c as air_c
else:
    from model.support.facade import offers

    __getattr__, __dir__, __all__ = offers(
        __name__,
        timeline="Timeline",
        irradiance="PanelLight Sky panel_light",
        sun_times="sun_events night_spans",
        trip="Trip planned",
        weather="air_c",
        climate_days="DaySkies draw_days draw_years",
    )
