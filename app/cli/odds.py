"""``counterpoise odds``: in how many trial trips each station lasts."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap

from app.cli.answers import Answer
from app.cli.cases import Case
from app.cli.document import headed
from app.cli.inputs import question
from app.cli.run import LINE_WIDTH
from model.editing.faults import ScenarioError
from model.export.odds_data import as_data
from model.odds.answer_sentences import (
    GOAL_WORDS,
    MEETS_MEANS,
    frontier_rows,
    narrowing_words,
    no_raise_words,
    raise_words,
    size_words,
    telling_raises,
    trips_words,
    years_words,
)
from model.odds.answers import Answers, answers
from model.odds.odds import Odds
from model.odds.odds import odds as search
from model.odds.sentences import (
    COUNTS_TRIPS,
    OUTLASTS_MEANS,
    basis_words,
    driver_words,
    end_words,
    ends_note,
    outlasts_words,
    receive_words,
    reserve_words,
    year_note,
)
from model.odds.station_trips import Goal
from model.results.wording import capital, heading_at
from model.scenario.cautions import PREDICTION
from model.support.figures import day_text, in_10

DRIVERS_TOLD = 4


def odds(case: Case, *, trips: int, goal: Goal | None = None, of_ten: int = 9) -> Answer:
    """Find the odds of a case.

    ``goal`` also asks what would raise and narrow them, and for sizes that meet the plan in
    ``of_ten`` of ten trips.
    """
    try:
        scenario, remarks = question(case)
    except ScenarioError as error:
        return Answer(case, faults=tuple(str(fault) for fault in error.faults))
    found = search(scenario, trips, by_half_month=True)
    asked: tuple[Answers | None, ...] = ()
    if goal is not None:
        stations = range(len(scenario.stations))
        asked = tuple(
            answers(scenario, index, goal=goal, odds=of_ten / 10, trips=trips) for index in stations
        )
    data = {"title": scenario.title, **as_data(found, asked)}
    return Answer(
        case,
        text=odds_text(found, asked),
        data=headed("odds", case, scenario, data),
        remarks=remarks,
    )


def odds_text(found: Odds, asked: Sequence[Answers | None] = ()) -> str:
    """Return title, basis, odds, who outlasts whom, the year, answers, and the caution."""
    scenario, lines = found.scenario, [found.scenario.title or "Untitled"]
    lines += wrap(f"{basis_words(found)} {COUNTS_TRIPS}", LINE_WIDTH)
    count = len(found.stations)
    for index in range(count):
        said = [receive_words(found, index), reserve_words(found, index)]
        said += [f"{capital(words)}." for words in end_words(found, index)]
        station = found.stations[index]
        moving = station.drivers[:DRIVERS_TOLD] if station else ()
        lines += ["", heading_at(scenario, index)]
        for words in filter(None, said):
            lines += wrap(words, LINE_WIDTH, initial_indent="  ", subsequent_indent="    ")
        if moving:
            lines.append("  What drives the uncertainty, largest first")
        for driver in moving:
            words = f"{driver_words(found, driver)}."
            lines += wrap(words, LINE_WIDTH, initial_indent="    ", subsequent_indent="      ")
    pairs = [(one, other) for one in range(count) for other in range(one + 1, count)]
    longer = [words for words in (outlasts_words(found, *pair) for pair in pairs) if words]
    if longer:
        lines.append("")
    for words in longer + [OUTLASTS_MEANS] * bool(longer):
        lines += wrap(words, LINE_WIDTH)
    if note := ends_note(found):
        lines += ["", *wrap(note, LINE_WIDTH)]
    lines += _year(found)
    for answer in filter(None, asked):
        lines += ["", *answer_lines(answer)]
    lines += ["", *wrap(PREDICTION, LINE_WIDTH)]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def answer_lines(found: Answers) -> list[str]:
    """Return what is answered about one station, over its own heading."""
    lines = [heading_at(found.scenario, found.index)]
    raised = [raise_words(found, one) for one in telling_raises(found)]
    narrowed = [narrowing_words(one) for one in found.narrowings]
    sizes = found.sizes
    assert sizes is not None
    sized = [size_words(sizes, size) for size in (sizes.battery, sizes.panel) if size is not None]
    for head, said in (
        (f"What would raise the odds; {GOAL_WORDS[found.goal]}",
         raised or [no_raise_words(found)]),
        ("What would narrow them", [*narrowed, years_words(found)]),
        ("Sizes for chosen odds", [*sized, MEETS_MEANS]),
    ):  # fmt: skip
        lines.append(f"  {head}")
        for words in said:
            lines += wrap(words, LINE_WIDTH, initial_indent="    ", subsequent_indent="      ")
    rows = frontier_rows(sizes)
    if rows:
        lines.append("  Battery, the smallest panel with it, mass of the station, odds")
        lines += [f"    {ah:<9}{w:<20}{kg:<10}{odds}".rstrip() for ah, w, kg, odds in rows]
    return [*lines, *wrap(trips_words(found), LINE_WIDTH, initial_indent="  ")]


def _year(found: Odds) -> list[str]:
    if not found.half_months:
        return []
    names = [heading_at(found.scenario, index) for index in range(len(found.stations))]
    width = max(20, *(len(name) for name in names))
    lines = ["", "Receives to the end, by the start of the trip"]
    lines.append(f"  {'':<12}" + "  ".join(f"{name:<{width}}" for name in names))
    for half in found.half_months:
        texts = ["not run" if one is None else in_10(one.value) for one in half.receive]
        day = day_text(half.start).split(" ", 1)[1]
        lines.append(f"  {day:<12}" + "  ".join(f"{text:<{width}}" for text in texts))
    return [*lines, *wrap(year_note(found), LINE_WIDTH)]
