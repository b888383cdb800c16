"""Which years of weather a climate holds, on one line; loads no reader of files."""

from __future__ import annotations

from collections.abc import Sequence

from model.scenario.climate import WeatherYear


def years_words(years: Sequence[WeatherYear]) -> str:
    """Return the years by their number, typical ones by their count; empty without any."""
    dated = sorted({year.start.year for year in years if not year.typical})
    typical = sum(year.typical for year in years)
    told = [str(year) for year in dated]
    if typical:
        told.append("1 typical year" if typical == 1 else f"{typical} typical years")
    if not told:
        return ""
    head = ", ".join(told[:-1])
    return f"Weather of {head} and {told[-1]}" if head else f"Weather of {told[0]}"
