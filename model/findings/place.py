"""Rules about what belongs to a place: its climate and its clock."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from zoneinfo import ZoneInfo

from model.findings.finding import Finding, Setting
from model.library.new_scenario import CLIMATE, PLACE
from model.scenario.climate import Climate
from model.scenario.scenario import Site
from model.sky.great_circle import distance_km

# A climate table is taken to hold so far around (common practice, no source) [km].
SAME_CLIMATE_KM = 50.0
# Legal time lies up to about 3 h from the sun's, in the west of China (from memory) [h].
DOUBTFUL_CLOCK_H = 3.5


def climate_elsewhere(site: Site, climate: Climate | None) -> Iterator[Finding]:
    """Find the climate a new scenario begins with under a place that is not the invented one."""
    if climate is None or climate.model_copy(update={"years": ()}) != CLIMATE:
        return
    away_km = distance_km(site, PLACE)
    if away_km > SAME_CLIMATE_KM:
        yield Finding(
            "warning",
            "climate.low_c",
            "The climate is still that of the invented place of a new scenario,"
            f" {away_km:.0f} km from here: light and odds follow it.",
            "Enter what a climate table lists for this place, read its weather files, or remove the"
            " climate.",
        )


def _clock_far_from_sun(setting: Setting) -> Iterator[Finding]:
    site, day = setting.site, setting.day
    noon = datetime(day.date.year, day.date.month, day.date.day, 12, tzinfo=ZoneInfo(site.timezone))
    offset = noon.utcoffset()
    if offset is None:
        return
    ahead_h = offset.total_seconds() / 3600 - site.longitude_deg / 15
    ahead_h = (ahead_h + 12) % 24 - 12
    if abs(ahead_h) > DOUBTFUL_CLOCK_H:
        yield Finding(
            "warning",
            "site.timezone",
            f"In this time zone the clock is {abs(ahead_h):.1f} h"
            f" {'ahead of' if ahead_h > 0 else 'behind'} the sun at this longitude: the plan would"
            " fall in other light.",
            "Choose the time zone of the place.",
        )


SETTING_RULES = (_clock_far_from_sun,)
