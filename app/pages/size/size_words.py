"""Sizes that meet the plan in plain words; also for the command line: nothing here draws."""

from __future__ import annotations

from math import ceil
from typing import Literal

from app.widgets.number_text import quantity, sentence_text
from model.results.wording import name_at
from model.scenario.scenario import Scenario
from model.scenario.station import Battery, Panel
from model.sizing.smallest import STEP_SHARE, Choice, Size, StationSizes

AH_DECIMALS, W_DECIMALS, KG_DECIMALS = 2, 1, 2
MEETS_MEANS = (
    "A kit meets the plan if, from a full battery, no limit is reached and the reserve is never"
    " crossed on this trip. To go on after it, each day must also make good what it takes; a day"
    " like the first is then run beforehand, so the start time does not matter. The size to take"
    " is the next one that can be bought, at least 2 % above the least that would do."
)
# The questions in the order in which they are answered.
Asked = Literal["battery", "trip_panel", "panel"]
ASKED: tuple[Asked, ...] = ("battery", "trip_panel", "panel")


def up_to_hold(value: float, decimals: int) -> float:
    """Round a size up, so that the size that is read still meets the plan."""
    scale = 10.0**decimals
    return ceil(value * scale - 1e-6) / scale


def size_of(sizes: StationSizes, asked: Asked) -> Size:
    """Return the answer to one of the questions."""
    return {"battery": sizes.battery, "trip_panel": sizes.trip_panel, "panel": sizes.panel}[asked]


def all_words(
    scenario: Scenario,
    found: tuple[StationSizes, ...],
    index: int,
    asked: Asked,
    *,
    us: bool = False,
) -> tuple[str, ...]:
    """Return what is said of one answer, alike wherever it is read: the size first.

    Then what other skies do, what the station weighs with it, and the proof of the least. Of a
    kit that no panel gets through the trip nothing is said of going on after it.
    """
    size = size_of(found[index], asked)
    if asked == "panel" and found[index].trip_panel.reason:
        return ()
    if asked == "battery":
        said = battery_words(scenario, index, size, us=us)
    else:
        said = panel_words(scenario, index, size, goes_on=asked == "panel", us=us)
    more = (
        sky_words(size),
        against_words(scenario, found, index, asked, us=us),
        proof_words(size),
    )
    return tuple(sentence_text(words, us=us) for words in (said, *more) if words)


def battery_words(scenario: Scenario, index: int, size: Size, *, us: bool = False) -> str:
    """Return the smallest battery in a sentence, or why none is enough."""
    if size.size_ah is None:
        return sentence(size.reason)
    battery = scenario.stations[index].battery
    least = quantity(up_to_hold(size.size_ah, AH_DECIMALS), "Ah", AH_DECIMALS)
    said = (
        f"Smallest battery that meets the plan, with {_own_panel(scenario, index)}: {least} would"
        " do"
    )
    if size.choice is None:
        return f"{said}; no size that can be bought was found to meet it."
    energy_wh = (size.energy_wh or 0.0) * size.choice.size_ah_or_w / size.size_ah
    bought = quantity(size.choice.size_ah_or_w, "Ah", AH_DECIMALS)
    take = _take(size.choice, f"{bought} ({quantity(energy_wh, 'Wh', 0)})", us)
    now = quantity(battery.capacity_ah * battery.count, "Ah", AH_DECIMALS)
    return f"{said}; {take}. Now {now}, {_change(_part_kg(battery), size.choice.part_kg, us)}"


def panel_words(
    scenario: Scenario, index: int, size: Size, *, goes_on: bool, us: bool = False
) -> str:
    """Return the smallest panel in a sentence, or why none is enough.

    Parameters
    ----------
    goes_on : whether each day also makes good what it takes.
    """
    panel = scenario.stations[index].panel
    purpose = "to go on after the trip" if goes_on else "that meets the plan"
    if size.size_w is None or panel is None:
        return sentence(f"To go on after the trip, {size.reason}" if goes_on else size.reason)
    battery = scenario.stations[index].battery
    own = quantity(battery.capacity_ah * battery.count, "Ah", AH_DECIMALS)
    said = f"Smallest panel {purpose}, with its own battery of {own}: "
    now = f"Now {quantity(panel.rated_w * panel.count, 'W', W_DECIMALS)}"
    if size.size_w == 0:
        return f"{said}none is needed. {now}, {_change(_part_kg(panel), 0.0, us)}"
    said += f"{quantity(up_to_hold(size.size_w, W_DECIMALS), 'W', W_DECIMALS)} would do"
    if size.choice is None:
        return f"{said}; no size that can be bought was found to meet it."
    take = _take(size.choice, quantity(size.choice.size_ah_or_w, "W", W_DECIMALS), us)
    return f"{said}; {take}. {now}, {_change(_part_kg(panel), size.choice.part_kg, us)}"


def sky_words(size: Size) -> str:
    """Return what overcast and rain on every date do to the size to take, from its reruns."""
    if size.choice is None or not size.choice.skies:
        return ""
    failing = [(word, fails) for word, fails in size.choice.skies if fails is not None]
    lasting = [word for word, fails in size.choice.skies if fails is None]
    clauses = [f"with {' or '.join(lasting)} on every date it still meets the plan"] * bool(lasting)
    clauses += [f"with {word} on every date {fails.words}" for word, fails in failing]
    return sentence("; ".join(clauses))


def proof_words(size: Size) -> str:
    """Return what happens one step below the least; empty where there is no step."""
    if size.reason or size.size_w == 0:
        return ""
    step = quantity(STEP_SHARE * 100, "%", 2)
    if size.smaller_fails is None:
        return "Proof: it is the smallest size tried; even that meets the plan."
    return f"Proof: one step below the least ({step} less), {size.smaller_fails.words}."


def against_words(
    scenario: Scenario,
    found: tuple[StationSizes, ...],
    index: int,
    asked: Asked,
    *,
    us: bool = False,
) -> str:
    """Return what a station weighs with the size to take against the others with theirs."""
    own_kg = _station_kg(size_of(found[index], asked))
    # Without any mass entered there is nothing to compare.
    if not own_kg:
        return ""
    what = "battery" if asked == "battery" else "panel"
    clauses = []
    for other, sizes in enumerate(found):
        size = size_of(sizes, asked)
        other_kg = _station_kg(size)
        if other == index:
            continue
        name = name_at(scenario, other)
        if other_kg is None:
            why = "is enough" if size.reason else "that can be bought was found"
            clauses.append(f"no {what} {why} for {name}")
        else:
            clauses.append(f"{_more_or_less(own_kg - other_kg, us)} {name} with its own such size")
    said = f"The station then weighs {_kg(own_kg, us)}"
    return f"{said}: {'; '.join(clauses)}." if clauses else f"{said}."


def sentence(words: str) -> str:
    """Return a clause as a sentence."""
    closed = words if words.endswith((".", "!", "?")) else f"{words}."
    return closed[:1].upper() + closed[1:]


def _station_kg(size: Size) -> float | None:
    """Return the station's mass with the size to take, or without a panel where none is needed."""
    if size.choice is not None:
        return size.choice.station_kg
    return size.station_kg if size.size_w == 0 else None


def _take(choice: Choice, size: str, us: bool) -> str:
    """Return that a size is to be taken; one beyond the library's says so."""
    why = "" if choice.is_listed else " (rounded up: the library has none so large)"
    mass = f", {_kg(choice.part_kg, us)}" if choice.part_kg else ""
    return f"take {size}{mass}{why}"


def _own_panel(scenario: Scenario, index: int) -> str:
    panel = scenario.stations[index].panel
    if panel is None:
        return "no panel"
    return f"its own panel of {quantity(panel.rated_w * panel.count, 'W', W_DECIMALS)}"


def _part_kg(part: Battery | Panel) -> float:
    return part.mass_kg * part.count


def _change(now_kg: float, then_kg: float | None, us: bool) -> str:
    saved_kg = now_kg - (then_kg or 0.0)
    if now_kg == 0:
        return "mass not entered."
    words = f"{_kg(now_kg, us)}: "
    if abs(saved_kg) < 0.005:
        return f"{words}it is the one to take."
    kind = "could stay at home" if saved_kg > 0 else "more would have to be carried"
    return f"{words}{_kg(abs(saved_kg), us)} {kind}."


def _more_or_less(difference_kg: float, us: bool) -> str:
    if abs(difference_kg) < 0.005:
        return "as much as"
    kind = "more" if difference_kg > 0 else "less"
    return f"{_kg(abs(difference_kg), us)} {kind} than"


def _kg(mass_kg: float | None, us: bool) -> str:
    return quantity(mass_kg or 0.0, "kg", KG_DECIMALS, us=us)
