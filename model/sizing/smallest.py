"""The smallest battery and panel with which a station holds, and the sizes to take instead.

Three questions, each with one answer wherever it is asked: the smallest battery for the trip, the
smallest panel for the trip, and the smallest panel with which the kit could go on after it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import islice
from typing import cast

from model.advice.advice import under_sky
from model.editing.field_facts import field_at
from model.editing.resize import scaled_station
from model.engine.batch_notes import Booleans, Outcomes
from model.engine.comparison import why_withheld
from model.library.sold_sizes import sizes_to_take
from model.scenario.daily import SkyWord
from model.scenario.scenario import Scenario
from model.scenario.station import Battery, Panel, Part, Station
from model.sizing.criterion import Shortfall, Trial, search_holding, shortfall, trial
from model.sizing.ladder import STEP_SHARE, Sized, search_least
from model.sizing.why_no_panel import search_why_no_panel
from model.sky.trip import planned
from model.station.carried_mass import carried_total
from model.station.chemistry import Floats, label_wh
from model.support.progress import Search, finish, within

__all__ = ["STEP_SHARE"]
SMALLEST_AH, SMALLEST_W = 0.05, 0.5
# What the smaller kit is also put under, on every date.
SKIES: tuple[SkyWord, SkyWord] = ("overcast", "rain")
# Sizes that can be bought are tried until one gets through; mostly the first does.
CHOICES_TRIED = 6


@dataclass(frozen=True)
class Choice:
    """A size that can be bought and gets through, at least 2 % above the least that would do.

    Attributes
    ----------
    size_ah_or_w : rated, of all batteries or panels together [Ah or W].
    is_listed : whether the library has a part of that size; else it is rounded up.
    part_kg, station_kg : mass of that battery or panel, and of the station with it [kg].
    skies : for overcast and rain on every date, where the trip then fails, None where it does not;
        empty where there is no panel.
    """

    size_ah_or_w: float
    is_listed: bool
    part_kg: float
    station_kg: float
    skies: tuple[tuple[SkyWord, Shortfall | None], ...]


@dataclass(frozen=True)
class Size:
    """The least that would do, with its proof, and what to take.

    Attributes
    ----------
    size_ah, size_w : rated, of all batteries or panels together [Ah], [W]; the other is None, and
        both where no size holds. 0 W where the trip needs no panel.
    part_kg, station_kg : mass of that battery or panel, and of the station with it [kg].
    energy_wh : on the battery's label; None for a panel [Wh].
    smaller_fails : why one step smaller fails, in a run of one-minute steps.
    choice : the size to take; None where none is needed, holds or can be bought.
    reason : why no size holds; empty where one does.
    """

    size_ah: float | None = None
    size_w: float | None = None
    part_kg: float | None = None
    station_kg: float | None = None
    energy_wh: float | None = None
    smaller_fails: Shortfall | None = None
    choice: Choice | None = None
    reason: str = ""


def saved_kg(one: Size, other: Size) -> float | None:
    """Return how much lighter the first station is at its size.

    Parameters
    ----------
    one, other : sizes of the same part.

    Returns
    -------
    Mass, None where either has no size [kg].
    """
    if one.station_kg is None or other.station_kg is None:
        return None
    return other.station_kg - one.station_kg


def smallest_battery(scenario: Scenario, index: int) -> Size:
    """Return the smallest battery of the station's make with which it gets through the trip.

    Parameters
    ----------
    scenario : the question.
    index : place of the station in it.

    Returns
    -------
    Size [Ah], mass [kg], proof, and what to take.
    """
    return finish(search_battery(scenario, index))


def smallest_panel(scenario: Scenario, index: int) -> Size:
    """Return the smallest panel of the station's make with which it could go on after the trip.

    Parameters
    ----------
    scenario : the question.
    index : place of the station in it.

    Returns
    -------
    Size [W], mass [kg], proof, and what to take.
    """
    return finish(search_panel(scenario, index))


def smallest_trip_panel(scenario: Scenario, index: int) -> Size:
    """Return the smallest panel of the station's make with which it gets through the trip.

    Parameters
    ----------
    scenario : the question.
    index : place of the station in it.

    Returns
    -------
    Size [W], mass [kg], proof, and what to take; 0 W where none is needed.
    """
    return finish(search_trip_panel(scenario, index))


def search_battery(
    scenario: Scenario, index: int, parts: Iterable[Part] | None = None
) -> Search[Size]:
    """Search the smallest battery; the station's own panel stays.

    Parameters
    ----------
    parts : of a library, for the size to take; None where none is asked for.
    """
    withheld = why_withheld(scenario, index)
    if withheld is not None:
        return Size(reason=withheld)
    asked = trial(scenario, index, balanced=False)
    battery = asked.station.battery
    present_ah = battery.capacity_ah * battery.count
    most_ah = _upper_bound("stations.0.battery.capacity_ah") * battery.count

    def station(by: float) -> Station:
        return scaled_station(asked.station, battery_by=by)

    def tried(by: Floats) -> Search[tuple[Booleans, Outcomes]]:
        return search_holding(asked, battery_by=by)

    found = search_least(asked, station, tried, SMALLEST_AH / present_ah, most_ah / present_ah)
    by, failure = yield from within(found, 0.0, 0.9)
    if by is None:
        assert failure is not None
        return Size(reason=f"no battery is enough: with the best, {failure.words}")
    chosen = station(by)
    return Size(
        size_ah=present_ah * by,
        part_kg=chosen.battery.mass_kg * battery.count,
        station_kg=carried_total(chosen, asked.shared).mass_kg,
        energy_wh=label_wh(chosen.battery),
        smaller_fails=failure,
        choice=_choice(scenario, asked, battery, station, by, parts),
    )


def search_trip_panel(
    scenario: Scenario, index: int, parts: Iterable[Part] | None = None
) -> Search[Size]:
    """Search the smallest panel for the trip, 0 W where none is needed; see ``search_battery``."""
    return (yield from _search_panel(scenario, index, parts, balanced=False))


def search_panel(
    scenario: Scenario, index: int, parts: Iterable[Part] | None = None
) -> Search[Size]:
    """Search the smallest panel with which the kit could go on after the trip.

    Each day then also ends no lower than it began. See ``search_battery``.
    """
    return (yield from _search_panel(scenario, index, parts, balanced=True))


def _search_panel(
    scenario: Scenario, index: int, parts: Iterable[Part] | None, *, balanced: bool
) -> Search[Size]:
    withheld = why_withheld(scenario, index)
    if withheld is not None:
        return Size(reason=withheld)
    asked = trial(scenario, index, balanced=balanced)
    panel = asked.station.panel
    if panel is None:
        return Size(reason="this station has no panel to resize")
    bare = asked.station.model_copy(update={"panel": None})
    if shortfall(asked, bare) is None:
        return Size(size_w=0.0, part_kg=0.0, station_kg=carried_total(bare, asked.shared).mass_kg)
    present_w = panel.rated_w * panel.count
    low, high = SMALLEST_W / present_w, _upper_bound("stations.0.panel.rated_w") / panel.rated_w

    def station(by: float) -> Station:
        return scaled_station(asked.station, panel_by=by)

    def tried(by: Floats) -> Search[tuple[Booleans, Outcomes]]:
        return search_holding(asked, panel_by=by)

    found = search_least(asked, station, tried, low, high)
    by, failure = yield from within(found, 0.0, 0.6)
    if by is None:
        assert failure is not None
        why = search_why_no_panel(asked, failure, low, high)
        return Size(reason=(yield from within(why, 0.6, 1.0)))
    chosen = station(by)
    return Size(
        size_w=present_w * by,
        part_kg=cast(Panel, chosen.panel).mass_kg * panel.count,
        station_kg=carried_total(chosen, asked.shared).mass_kg,
        smaller_fails=failure,
        choice=_choice(scenario, asked, panel, station, by, parts),
    )


def _upper_bound(path: str) -> float:
    return float(cast(float, field_at(path).high))


def _choice(
    scenario: Scenario,
    asked: Trial,
    own: Battery | Panel,
    station: Sized,
    least_by: float,
    parts: Iterable[Part] | None,
) -> Choice | None:
    """Return the smallest size that can be bought and gets through when it is run."""
    if parts is None:
        return None
    own_size = own.capacity_ah if isinstance(own, Battery) else own.rated_w
    for sold in islice(sizes_to_take(own, own_size * least_by, parts), CHOICES_TRIED):
        by = sold.size_ah_or_w / own_size
        taken = station(by)
        if shortfall(asked, taken) is None:
            return Choice(
                sold.size_ah_or_w * own.count,
                sold.is_listed,
                own.mass_kg * own.count * by,
                carried_total(taken, asked.shared).mass_kg,
                _under_skies(scenario, asked, taken),
            )
    return None


def _under_skies(
    scenario: Scenario, asked: Trial, taken: Station
) -> tuple[tuple[SkyWord, Shortfall | None], ...]:
    """Return where the trip fails under other skies on every date."""
    if taken.panel is None:
        return ()
    return tuple(
        (
            word,
            shortfall(
                replace(asked, trip=planned(under_sky(scenario, word)), balanced=False), taken
            ),
        )
        for word in SKIES
    )


@dataclass(frozen=True)
class StationSizes:
    """The sizes of one station.

    Attributes
    ----------
    battery, trip_panel : for the trip.
    panel : with which each day also makes good what it takes.
    """

    name: str
    battery: Size
    trip_panel: Size
    panel: Size

    def members(self) -> dict[str, float | None]:
        """Return what ``counterpoise size`` writes for a station."""
        return {
            "smallest_battery_ah": self.battery.size_ah,
            "smallest_panel_w": self.panel.size_w,
            "smallest_panel_for_the_trip_w": self.trip_panel.size_w,
        }


def size(scenario: Scenario, parts: Iterable[Part] | None = None) -> tuple[StationSizes, ...]:
    """Return the smallest battery and the smallest panels of every station."""
    return finish(search_sizes(scenario, parts))


def search_sizes(
    scenario: Scenario, parts: Iterable[Part] | None = None
) -> Search[tuple[StationSizes, ...]]:
    """Search the sizes of every station; see ``search_battery``."""
    found = []
    held = None if parts is None else tuple(parts)
    count = len(scenario.stations)
    for index, station in enumerate(scenario.stations):
        one, two, three, end = ((index + part / 3) / count for part in range(4))
        battery = yield from within(search_battery(scenario, index, held), one, two)
        trip_panel = yield from within(search_trip_panel(scenario, index, held), two, three)
        panel = trip_panel
        # Whoever does not get through the trip does not go on after it.
        if not trip_panel.reason:
            panel = yield from within(search_panel(scenario, index, held), three, end)
        found.append(StationSizes(station.name, battery, trip_panel, panel))
    return tuple(found)
