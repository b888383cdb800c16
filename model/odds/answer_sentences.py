"""Answers about odds in words: what raises them, what narrows them, and which sizes reach them."""

from __future__ import annotations

from math import ceil, floor, isnan, log10

from model.editing.field_facts import describe
from model.odds.answers import Answers, Sizes
from model.odds.narrowed_odds import Narrowing
from model.odds.odds_sizes import LEAST_BY, MOST_BY, OddsSize
from model.odds.raised_odds import Raise
from model.odds.sentences import ORIGINS, odds_text
from model.results.wording import called, capital
from model.support.figures import amount, entered, in_10, percent, span, span_in_10

GOAL_WORDS = {"receive": "receives to the end", "plan": "meets the plan"}
MEETS_MEANS = (
    "Meets the plan: no limit is reached and the reserve is kept, from the charge at the start and"
    " over the trip alone."
)
# Below this share it is said that nothing much would change.
HARDLY_SHARE = 0.05
DIGITS = 2


def trips_words(found: Answers) -> str:
    """Return what all the answers are counted over."""
    trips = f"{found.trips} of the trial trips" if found.trips > 1 else "1 trial trip"
    return f"Each over the same {trips}: same skies, same plan, same parts."


def raise_words(found: Answers, one: Raise) -> str:
    """Return what a measure makes of the odds, and its price."""
    was, then = in_10(found.now.value), odds_text(one.odds)
    price = f" {capital(one.price)}." if one.price else ""
    cost = f" Costs {amount(one.more_cost, '')} more." if one.more_cost > 0 else ""
    return f"{one.words}: {then} instead of {was}.{price}{cost}"


def telling_raises(found: Answers) -> tuple[Raise, ...]:
    """Return the measures whose odds are said by another number than those of now."""
    was = in_10(found.now.value)
    return tuple(one for one in found.raises if in_10(one.odds.value) != was)


def no_raise_words(found: Answers) -> str:
    """Return why there is nothing to raise the odds by; empty where there is."""
    if telling_raises(found):
        return ""
    who, goal = capital(called(found.scenario, found.index)), GOAL_WORDS[found.goal]
    if found.now.value > 0.95:
        return f"{who} {goal} in more than 9 in 10 as it is."
    return "None of the changes that were tried moves the odds by a tenth."


def narrowing_words(one: Narrowing) -> str:
    """Return what it would be worth to measure a number."""
    what = describe(one.path).split(", ", 1)[1]
    reach, origin = span_in_10(one.low, one.high), ORIGINS[one.origin]
    if in_10(one.low) == in_10(one.high):
        odds = f"the odds are {in_10(one.low)} at either end of what it may be"
    else:
        odds = f"the odds are {reach} in 10 over what it may be"
    return f"{what} ({origin}): {odds}; measured, {_closer_words(one)}"


def years_words(found: Answers) -> str:
    """Return what more years of weather would do to the bounds."""
    more = found.years
    if more is None:
        return "More years of weather change nothing here: the planned skies are asked about."
    shrink = 1.0 - more.width_then_share / more.width_now_share if more.width_now_share else 0.0
    by = f"about {percent(shrink)} closer together" if shrink >= HARDLY_SHARE else "hardly closer"
    if found.basis == "climate":
        years = "1 year" if more.years == 1 else f"{more.years} years"
        return f"With days of {years} from weather files the bounds would be expected {by}."
    return f"With one more year, {more.years} in all, the bounds would be expected {by}."


def size_words(sizes: Sizes, size: OddsSize) -> str:
    """Return the smallest size for the chosen odds, how far it may be off, and its odds."""
    wanted, now = _wanted(sizes), entered(size.now, size.unit)
    if size.value is None:
        least = f" If the sky is kind, {rounded_up(size.low, size.unit)}." if size.low else ""
        return (
            f"No {size.part} up to {MOST_BY:g} times the one carried ({now}) meets the plan in"
            f" {wanted}; with the present one {odds_text(size.odds_now)}.{least}"
        )
    if size.value == 0:
        return f"No {size.part} is needed to meet the plan in {wanted}: {odds_text(size.odds)}."
    if size.value <= size.now * LEAST_BY * 1.01:
        head = f"A {size.part} of {rounded_up(size.value, size.unit)} or less"
    else:
        head = f"A {size.part} of about {rounded_up(size.value, size.unit)}"
    low = size.value if size.low is None else size.low
    open_ = f"{rounded_up(low, size.unit)} or more"
    if size.high is not None:
        open_ = span(_up(low), _up(size.high), size.unit, DIGITS)
    return (
        f"{head} (carried: {now}) meets the plan in {wanted}: {odds_text(size.odds)}. Within these"
        f" bounds it may take {open_}."
    )


def frontier_rows(sizes: Sizes) -> tuple[tuple[str, str, str, str], ...]:
    """Return the frontier as texts: battery, smallest panel, mass of the station, odds."""
    line = sizes.frontier
    if line is None:
        return ()
    rows = []
    for ah, watts, kg, share in zip(
        *(
            row.tolist()
            for row in (line.capacity_ah, line.rated_w, line.station_kg, line.met_share)
        ),
        strict=True,
    ):
        battery = amount(ah, "Ah", DIGITS)
        if isnan(watts):
            rows.append((battery, "no panel is enough", "", ""))
        else:
            panel = "none needed" if watts == 0 else rounded_up(watts, "W")
            rows.append((battery, panel, amount(kg, "kg", 3), in_10(share)))
    return tuple(rows)


def rounded_up(value: float, unit: str) -> str:
    """Return a size with two digits, rounded up: what is said is enough wherever the size is.

    Parameters
    ----------
    value : the size [unit given].
    unit : what it is in.

    Returns
    -------
    The text with its unit.
    """
    return amount(_up(value), unit, DIGITS)


def _up(value: float) -> float:
    if value <= 0:
        return 0.0
    step = 10.0 ** (floor(log10(value)) - DIGITS + 1)
    return ceil(value / step - 1e-9) * step


def _wanted(sizes: Sizes) -> str:
    return f"{amount(10 * sizes.wanted_share, '', DIGITS)} of 10 trial trips"


def _closer_words(one: Narrowing) -> str:
    what = "ends" if one.width_h else "lowest charges"
    hardly = f"it would bring the {what} hardly closer together."
    if one.narrower_share < HARDLY_SHARE:
        return hardly
    if one.width_h:
        now, then = (amount(width, "h", DIGITS) for width in one.width_h)
        if now == then:
            return hardly
        return f"8 in 10 {what} would lie within about {then} instead of {now}."
    assert one.width_fraction is not None
    now, then = (percent(width) for width in one.width_fraction)
    if now == then:
        return hardly
    return f"8 in 10 {what} would lie within about {then} of the capacity instead of {now}."
