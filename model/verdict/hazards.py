"""What must not be connected as it is planned: dangers that outrank every other result."""

from __future__ import annotations

from dataclasses import dataclass

from model.engine.comparison import Comparison
from model.findings.leads import leads_below_fuse
from model.findings.volts import over_voltage
from model.scenario.station import Station
from model.support.figures import apart


@dataclass(frozen=True)
class Hazard:
    """A danger of one station, as a headline says it.

    Attributes
    ----------
    station : its index.
    rank : the greatest danger has the least.
    text : the order, with the numbers that are its reason.
    figure : the words in it that are to be emphasised.
    """

    station: int
    rank: int
    text: str
    figure: str


def worst_hazard(comparison: Comparison) -> Hazard | None:
    """Return the greatest danger of a comparison, of the first station that has it."""
    stations = comparison.scenario.stations
    found = [hazard for index in range(len(stations)) for hazard in _of_station(stations, index)]
    return min(found, key=lambda hazard: (hazard.rank, hazard.station), default=None)


def _of_station(stations: tuple[Station, ...], index: int) -> list[Hazard]:
    station, is_one = stations[index], len(stations) == 1
    who = "the station" if is_one else "ABCD"[index]
    of = "the" if is_one else f"{who}'s"
    found = []
    high = over_voltage(station)
    if high is not None:
        volts, limit = apart((high.reached_v, high.limit_v), "V")
        text = (
            f"Do not connect {who}: {volts}, radio limit {limit}."
            if high.when == "full"
            else f"Disconnect {of} radio to charge: {volts}, limit {limit}."
        )
        found.append(Hazard(index, 0 if high.when == "full" else 1, text, volts))
    for lead in leads_below_fuse(station):
        fuse, rated = apart((lead.fuse_a, lead.rated_a), "A")
        text = f"Do not connect {who}: {fuse} fuse on a {rated} lead."
        found.append(Hazard(index, 2, text, f"{fuse} fuse"))
    if station.panel is not None and station.controller is None:
        battery = "the battery" if is_one else "its battery"
        text = f"Do not connect {of} panel to {battery}: no charge controller."
        found.append(Hazard(index, 3, text, "no charge controller"))
    return found
