"""Sizes that meet the plan in plain words; also for the command line: nothing here draws."""

from __future__ import annotations

from math import ceil

from app.number_text import with_unit
from model.results.wording import name_at
from model.scenario.scenario import Scenario
from model.scenario.station import Battery, Panel
from model.sizing.smallest import STEP_SHARE, Size, StationSizes

AH_DECIMALS, W_DECIMALS, KG_DECIMALS = 2, 1, 2
MEETS_MEANS = (
    "A kit meets the plan if, from a full battery, no limit is reached and the reserve is never"
    " crossed. With the smallest panel each day also ends no lower than it began; a day like the"
    " first is run beforehand, so the start time does not matter."
)


def up_to_hold(value: float, decimals: int) -> float:
    """Round a size up, so that the size that is read still meets the plan."""
    scale = 10.0**decimals
    return ceil(value * scale - 1e-6) / scale


def battery_words(scenario: Scenario, index: int, size: Size, *, us: bool = False) -> str:
    """Return the smallest battery in a sentence, or why none is enough."""
    if size.size_ah is None:
        return sentence(size.reason)
    battery = scenario.stations[index].battery
    least = with_unit(up_to_hold(size.size_ah, AH_DECIMALS), "Ah", AH_DECIMALS)
    energy = with_unit(size.energy_wh or 0.0, "Wh", 0)
    now = with_unit(battery.capacity_ah * battery.count, "Ah", AH_DECIMALS)
    return (
        f"Smallest battery that meets the plan, with {_own_panel(scenario, index)}: {least}"
        f" ({energy}), {_kg(size.part_kg, us)}. Now {now},"
        f" {_change(_part_kg(battery), size.part_kg, us)}"
    )


def panel_words(scenario: Scenario, index: int, size: Size, *, us: bool = False) -> str:
    """Return the smallest panel in a sentence, or why none is enough."""
    panel = scenario.stations[index].panel
    if size.size_w is None or panel is None:
        return sentence(size.reason)
    battery = scenario.stations[index].battery
    least = with_unit(up_to_hold(size.size_w, W_DECIMALS), "W", W_DECIMALS)
    own = with_unit(battery.capacity_ah * battery.count, "Ah", AH_DECIMALS)
    now = with_unit(panel.rated_w * panel.count, "W", W_DECIMALS)
    return (
        f"Smallest panel that meets the plan, with its own battery of {own}: {least},"
        f" {_kg(size.part_kg, us)}. Now {now}, {_change(_part_kg(panel), size.part_kg, us)}"
    )


def proof_words(size: Size) -> str:
    """Return what happens one step smaller; empty where no size is enough."""
    if size.reason:
        return ""
    step = with_unit(STEP_SHARE * 100, "%", 2)
    if size.smaller_fails is None:
        return "Proof: it is the smallest size tried; even that meets the plan."
    return f"Proof: one step smaller ({step} less), {size.smaller_fails.words}."


def against_words(
    scenario: Scenario,
    found: tuple[StationSizes, ...],
    index: int,
    *,
    panels: bool,
    us: bool = False,
) -> str:
    """Return what a station weighs at its smallest size against the others at theirs."""
    own_kg = _station_kg(found[index], panels=panels)
    if own_kg is None:
        return ""
    what = "panel" if panels else "battery"
    clauses = []
    for other, sizes in enumerate(found):
        other_kg = _station_kg(sizes, panels=panels)
        if other == index:
            continue
        name = name_at(scenario, other)
        if other_kg is None:
            clauses.append(f"no {what} is enough for {name}")
        else:
            clauses.append(f"{_more_or_less(own_kg - other_kg, us)} {name} at its smallest")
    whole = f"With it the station weighs {_kg(own_kg, us)}"
    return f"{whole}: {'; '.join(clauses)}." if clauses else f"{whole}."


def sentence(words: str) -> str:
    """Return a clause as a sentence."""
    closed = words if words.endswith((".", "!", "?")) else f"{words}."
    return closed[:1].upper() + closed[1:]


def _station_kg(sizes: StationSizes, *, panels: bool) -> float | None:
    return (sizes.panel if panels else sizes.battery).station_kg


def _own_panel(scenario: Scenario, index: int) -> str:
    panel = scenario.stations[index].panel
    if panel is None:
        return "no panel"
    return f"its own panel of {with_unit(panel.rated_w * panel.count, 'W', W_DECIMALS)}"


def _part_kg(part: Battery | Panel) -> float:
    return part.mass_kg * part.count


def _change(now_kg: float, then_kg: float | None, us: bool) -> str:
    saved_kg = now_kg - (then_kg or 0.0)
    if now_kg == 0:
        return "mass not entered."
    words = f"{_kg(now_kg, us)}: "
    if abs(saved_kg) < 0.005:
        return f"{words}as light as it can be."
    kind = "could stay at home" if saved_kg > 0 else "more would have to be carried"
    return f"{words}{_kg(abs(saved_kg), us)} {kind}."


def _more_or_less(difference_kg: float, us: bool) -> str:
    if abs(difference_kg) < 0.005:
        return "as much as"
    kind = "more" if difference_kg > 0 else "less"
    return f"{_kg(abs(difference_kg), us)} {kind} than"


def _kg(mass_kg: float | None, us: bool) -> str:
    return with_unit(mass_kg or 0.0, "kg", KG_DECIMALS, us=us)
