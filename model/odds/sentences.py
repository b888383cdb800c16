"""Odds in words: what is said of trips under the planned sky, and of any trip of the season.

The two are never mixed: each sentence says at its head which it is. Odds are said in tenths, as
nothing finer is known of a sky, and with their bounds; nothing is said to happen in none or in all
of ten trips.
"""

from __future__ import annotations

from datetime import date as Date
from math import isinf

import numpy as np

from model.editing.field_facts import describe
from model.odds.drivers import COLD, PLAN, SKY, Driver
from model.odds.odds import CLOSE_CALL_SHARE, Ends, Odds
from model.odds.shares import Share
from model.results.wording import CLOCK_WORDS, called, capital, listed
from model.sky.cloud_words import is_scaled
from model.sky.timeline import timeline
from model.support.figures import day_and_time, in_10, in_100_trips, span_in_10, told

COUNTS_TRIPS = "This counts trips, not hours."
ORIGINS = {"measured": "measured", "datasheet": "from a datasheet", "guess": "a guess"}
OUTLASTS_MEANS = "Outlasts: receives longer."
# So many more trips keep the reserve than receive: worth a sentence.
TELLING_SHARE = 0.05
_FRIDAY, _SATURDAY = 4, 5


def basis_words(found: Odds) -> str:
    """Return where skies come from, what that leaves out, and what else differs in each trip."""
    return f"{_sky_words(found)} {_varied_words(found)}"


def _varied_words(found: Odds) -> str:
    sends = any(block.transmit_share > 0 for block in found.scenario.plan)
    plan = ", and so does how much is transmitted" if sends else ""
    return f"In each trip the numbers of the parts vary within their uncertainty{plan}."


def _sky_words(found: Odds) -> str:
    trips = f"{found.trips} trial trips" if found.trips > 1 else "1 trial trip"
    if found.basis == "forecast":
        words = f"{trips} under the planned skies, varied as much as such days vary."
        if is_scaled(found.scenario.climate):
            return (
                f"{words} The words for a sky are scaled to the place by weather files; the bounds"
                " allow for what that leaves open."
            )
        if any(isinstance(each, str) for each in found.scenario.day.sky):
            return (
                f"{words} One word for a sky means another light at another place: the bounds allow"
                " for that."
            )
        return f"{words} Clear days differ in light from place to place: the bounds allow for that."
    if found.basis == "climate":
        return (
            f"{trips} under days drawn from the twelve months of the climate; a real year"
            " can differ."
        )
    years = "1 year" if found.years == 1 else f"{found.years} years"
    words = f"{trips} under days of {years}, begun within 15 days of the date."
    if found.typical:
        words += " Typical years are spliced from ordinary months: bad years are worse."
    if found.wrapped_share > 0:
        words += " Some trips pass the end of a year and go on with the beginning of the same one."
    return words


def season_words(date: Date, days: int) -> str:
    """Return a stretch of the season, such as "any mid-April weekend"."""
    part = "early" if date.day <= 10 else "mid" if date.day <= 20 else "late"
    when = (
        f"{part}-{MONTHS[date.month - 1]}" if part == "mid" else f"{part} {MONTHS[date.month - 1]}"
    )
    if days == 1:
        return f"any {when} day"
    if days == 2 and date.weekday() in (_FRIDAY, _SATURDAY):
        return f"any {when} weekend"
    return f"any {when} trip of {days} days"


MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip


def head_words(found: Odds) -> str:
    """Return what the odds are of: the season, the year or years, or the forecast."""
    day = found.scenario.day
    if found.basis == "forecast":
        return "if the forecast holds"
    words = season_words(day.date, day.days)
    if found.basis == "years":
        one = "one typical year" if found.typical else "one year"
        return f"{words}, by {one if found.years == 1 else f'{found.years} years'}"
    return words


def receive_words(found: Odds, index: int) -> str:
    """Return the odds of receiving to the end as a sentence; empty where a station is not run."""
    station = found.stations[index]
    if station is None:
        return ""
    who = called(found.scenario, index)
    text = _trips_text(station.receive)
    return f"{capital(head_words(found))}: {text} keep {who} receiving to the end."


def reserve_words(found: Odds, index: int) -> str:
    """Return the odds of keeping the reserve; empty where a station is not run.

    Where many trips go off the air all the same, it is said that they do.
    """
    station = found.stations[index]
    if station is None:
        return ""
    who, share = called(found.scenario, index), station.reserve
    kept = f"{capital(head_words(found))}: {who} keeps its reserve in {_trips_text(share)}."
    if share.value - station.receive.value > TELLING_SHARE:
        return f"{kept} {capital(who)} can go off the air with its reserve still in the battery."
    return kept


def _trips_text(share: Share) -> str:
    return f"{in_10(share.value)} trips ({span_in_10(share.low, share.high)})"


def odds_text(share: Share) -> str:
    """Return odds with their bounds: ``about 8 in 10 (6 to 9)``."""
    return f"{in_10(share.value)} ({span_in_10(share.low, share.high)})"


def ends_note(found: Odds) -> str:
    """Return why ends differ from those on the day; empty where they are of the same skies."""
    if found.basis == "forecast":
        return ""
    return "These times are for the season's skies; the day shows those for the planned sky."


def year_note(found: Odds) -> str:
    """Return which half-months the years hold days of; empty where all are alike."""
    by_years = sum(half.basis == "years" for half in found.half_months)
    if by_years in (0, len(found.half_months)):
        return ""
    are = "1 half-month is" if by_years == 1 else f"{by_years} half-months are"
    return (
        f"{are} by days of the years; of the others the years hold no trip, and they are by the"
        " twelve months of the climate."
    )


def end_words(found: Odds, index: int) -> list[str]:
    """Return when the clocks of a station end, over the trips in which they do."""
    station = found.stations[index]
    if station is None:
        return ["not run: see its findings"]
    said: dict[str, list[str]] = {}
    for name, ends in station.ends.items():
        if not isinf(ends.low_h):
            said.setdefault(_until_words(found, ends), []).append(CLOCK_WORDS[name])
    if not said:
        none = in_100_trips(float(np.mean(np.isinf(station.first_end_h))))
        return [f"no limit is reached in {none}"]
    return [f"{listed(clocks)}: {words}" for words, clocks in said.items()]


def outlasts_words(found: Odds, first: int, second: int) -> str:
    """Return who outlasts whom on the same skies; empty where one is not run."""
    shares = found.outlasts(first, second)
    if shares is None:
        return ""
    one, other = called(found.scenario, first), called(found.scenario, second)
    apart = shares.first_share + shares.second_share
    if shares.tie_share >= CLOSE_CALL_SHARE:
        return f"{one} and {other} last equally long in {in_100_trips(shares.tie_share)}."
    most = max(shares.first_share, shares.second_share)
    if most < CLOSE_CALL_SHARE * apart:
        return (
            f"Too close to call: {one} lasts longer in {in_100_trips(shares.first_share)}, {other}"
            f" in {in_100_trips(shares.second_share).removesuffix(' trial trips')}."
        )
    if shares.second_share == most:
        one, other = other, one
    return f"{one} outlasts {other} in {in_100_trips(most)}."


def driver_words(found: Odds, driver: Driver) -> str:
    """Return what drives a station's uncertainty, and which way."""
    if driver.on == "first_end":
        effect = f"brings the first limit {'later' if driver.rank_share > 0 else 'sooner'}"
    else:
        effect = "leaves more charge" if driver.rank_share > 0 else "leaves less charge"
    if driver.path == SKY:
        return f"the sky: a brighter one {effect}"
    if driver.path == PLAN:
        return f"how long you transmit: more {effect}"
    if driver.path == COLD:
        return f"what the cells give in the cold: more {effect}"
    what = describe(driver.path).split(", ", 1)[1]
    origin = ORIGINS[driver.origin] if driver.origin else ""
    return f"{what} ({origin}): a higher value {effect}"


def _until_words(found: Odds, ends: Ends) -> str:
    scenario = found.scenario
    clock = timeline(scenario.site, scenario.day)

    def at(hours: float) -> str:
        return day_and_time(told(clock.at(hours / clock.step_h), about=True), scenario.day.days)

    if isinf(ends.high_h):
        lasts = in_100_trips(ends.never_share).removesuffix(" trial trips")
        return (
            f"at least until {at(ends.low_h)} in about 90 of 100 trial trips, to the end in {lasts}"
        )
    low, high = at(ends.low_h), at(ends.high_h)
    when = f"at {low}" if low == high else f"between {low} and {high}"
    return f"the end comes {when} in about 80 of 100 trial trips"
