"""Which years of weather a climate holds, on one line; loads no reader of files."""

from __future__ import annotations

from collections.abc import Sequence

from model.results.wording import listed
from model.scenario.climate import WeatherYear


def years_words(years: Sequence[WeatherYear]) -> str:
    """Return the years by their number, typical ones by their count; empty without any."""
    dated = sorted({year.start.year for year in years if not year.typical})
    typical = sum(year.typical for year in years)
    told = [str(year) for year in dated]
    if typical:
        told.append("1 typical year" if typical == 1 else f"{typical} typical years")
    return f"Weather of {listed(told)}" if told else ""
