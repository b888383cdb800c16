"""What is joined to what, DC and RF: the boxes and the lines of a station's block diagram.

Leads of the file keep their order as numbers; lines that no lead is entered for go on from there.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise
from math import inf
from typing import Literal

from model.results.wording import capital
from model.scenario.power import AS_BATTERY
from model.scenario.scenario import Block
from model.scenario.station import Lead, Station
from model.station.chemistry import nominal_v
from model.station.fuses import (
    FuseAdvice,
    advise,
    bears_a,
    fitting_fuse_a,
    lead_currents_a,
)
from model.station.transmit_path import highest_planned_w
from model.support.figures import entered

Kind = Literal["DC", "coax", "keying", "none"]
# More extras than this that draw current share one box.
EXTRAS_APART = 2
VEHICLE_WORDS = ("vehicle", "car", "engine", "truck", "van", "boat")
INVERTER_WORDS = ("inverter",)


@dataclass(frozen=True)
class Box:
    """A part in the diagram: a key of its own, its name, and what is to be known of it there."""

    key: str
    name: str
    detail: str = ""


@dataclass(frozen=True)
class Line:
    """A line between two boxes.

    Attributes
    ----------
    source, target : keys of the boxes.
    kind : DC pair, coax, keying lead; "none" where nothing may be connected.
    name : what it is called in the table.
    numbers : as on the labels; several where leads are joined end to end.
    leads : of the file, in that order; none where none is entered.
    carries_a : most it is to carry [A].
    rated_a : what its thinnest conductor is rated for; None where that is not known [A].
    fuse_a : smallest fuse entered; None without [A].
    fit_a : fuse that suits it; None where none does [A].
    is_fused : whether it needs a fuse of its own.
    both_poles : whether both conductors are to be fused.
    faults : what is wrong with its fuses.
    """

    source: str
    target: str
    kind: Kind
    name: str = ""
    numbers: tuple[int, ...] = ()
    leads: tuple[Lead, ...] = ()
    carries_a: float = 0.0
    rated_a: float | None = None
    fuse_a: float | None = None
    fit_a: float | None = None
    is_fused: bool = True
    both_poles: bool = False
    faults: tuple[str, ...] = ()

    @property
    def label(self) -> str:
        """Its numbers as on the labels, such as ``2 + 5``; a run of neighbours as its ends."""
        if len(self.numbers) > 3 and self.numbers[-1] - self.numbers[0] == len(self.numbers) - 1:
            return f"{self.numbers[0]} to {self.numbers[-1]}"
        return " + ".join(str(number) for number in self.numbers)


@dataclass(frozen=True)
class Wiring:
    """All boxes and lines of a station; ``has_distribution`` says whether DC is split."""

    boxes: tuple[Box, ...]
    lines: tuple[Line, ...]
    has_distribution: bool

    def box(self, key: str) -> Box | None:
        """Return the box of a key, None where there is none."""
        return next((each for each in self.boxes if each.key == key), None)

    def out_of(self, source: str) -> Line:
        """Return the DC line that begins at a box; raises KeyError where there is none."""
        for line in self.lines:
            if line.source == source and line.kind == "DC":
                return line
        raise KeyError(source)

    def to(self, target: str, kind: Kind = "DC") -> Line | None:
        """Return the line of a kind that ends at a box, None where there is none."""
        found = (each for each in self.lines if each.target == target and each.kind == kind)
        return next(found, None)


@lru_cache(maxsize=64)
def wiring(station: Station, plan: tuple[Block, ...]) -> Wiring:
    """Return the boxes and lines of a station; fuses suit the highest power of the plan."""
    branches = [*_branches(station)]
    has_distribution = any(branch.kind == "DC" for branch in branches)
    lines = list(_entered(station, plan, has_distribution=has_distribution))
    number = len(station.leads)
    for branch in branches:
        if any((line.source, line.target) == (branch.source, branch.target) for line in lines):
            continue
        is_dc = branch.kind == "DC"
        number += is_dc
        lines.append(replace(branch, numbers=(number,)) if is_dc else branch)
    if not any(line.target == "radio" for line in lines):
        number += 1
        carries = lead_currents_a(station, highest_planned_w(station, plan) or inf)["radio"]
        source = "distribution" if has_distribution else "battery"
        lines.append(_line(source, "radio", "radio", (number,), carries))
    if has_distribution and not any(line.source == "battery" for line in lines):
        number += 1
        carries = lead_currents_a(station, highest_planned_w(station, plan) or inf)["battery"]
        lines.append(_line("battery", "distribution", "battery", (number,), carries))
    order = {"battery": 0}
    lines.sort(key=lambda line: order.get(line.source, 1))
    return Wiring(
        tuple(_boxes(station, has_distribution=has_distribution)),
        (*lines, *_rf(station)),
        has_distribution,
    )


def _boxes(station: Station, *, has_distribution: bool) -> Iterator[Box]:
    battery = station.battery
    size = f"{battery.chemistry} {entered(battery.capacity_ah, 'Ah')}"
    packs = f"{battery.count} × {size}, a fuse each" if battery.count > 1 else size
    yield Box("battery", "Batteries" if battery.count > 1 else "Battery", packs)
    if has_distribution:
        yield Box("distribution", "Distribution")
    yield Box("radio", "Radio")
    if station.amplifier is not None:
        yield Box("amplifier", "Amplifier")
    if station.tuner is not None:
        yield Box("tuner", "Tuner")
    yield Box("antenna", "Antenna")
    if station.laptop is not None and station.laptop.runs != "never":
        yield Box("computer", "Computer")
    yield from _power_boxes(station)
    yield from _extra_boxes(station)


def _power_boxes(station: Station) -> Iterator[Box]:
    panel, controller = station.panel, station.controller
    if panel is not None:
        watts = entered(panel.rated_w, "W")
        count = f"{panel.count} × " if panel.count > 1 else ""
        joined = f", in {panel.wiring}" if panel.count > 1 else ""
        yield Box("panel", "Panels" if panel.count > 1 else "Panel", f"{count}{watts}{joined}")
    if controller is not None:
        profile = controller.profile
        name = station.battery.chemistry if profile == AS_BATTERY else profile
        yield Box("controller", "Controller", f"set: {name}")
    for at, charger in enumerate(station.chargers):
        name = " ".join(charger.name.split()) or "Charger"
        yield Box(f"charger {at}", capital(name), entered(charger.current_a, "A"))


def _extra_boxes(station: Station) -> Iterator[Box]:
    drawing = [each for each in station.extras if each.power_w or each.current_a]
    if len(drawing) > EXTRAS_APART:
        yield Box("extras", f"{len(drawing)} extras", "one fuse each")
        return
    for at, extra in enumerate(drawing):
        name = " ".join(extra.name.split()) or "Extra"
        mains = any(word in name.lower() for word in INVERTER_WORDS)
        yield Box(f"extra {at}", capital(name), "mains: can kill" if mains else "")


def _branches(station: Station) -> Iterator[Line]:
    """Yield what hangs on the distribution besides the radio, as if no lead were entered."""
    volts = nominal_v(station.battery)
    amplifier, tuner, laptop = station.amplifier, station.tuner, station.laptop
    if amplifier is not None:
        most = max(current for _, current in amplifier.key_down)
        yield _line("distribution", "amplifier", "amplifier", (), most)
    if tuner is not None and (tuner.idle_a or tuner.tuning_a):
        yield _line("distribution", "tuner", "tuner", (), max(tuner.idle_a, tuner.tuning_a))
    if laptop is not None and laptop.runs != "never":
        drawn_w = max(laptop.power_w, laptop.charge_w) / laptop.converter_efficiency
        yield _line("distribution", "computer", "computer", (), drawn_w / volts)
    yield from _sources(station)
    drawing = [each for each in station.extras if each.power_w or each.current_a]
    drawn_a = [(each.current_a or 0.0) + (each.power_w or 0.0) / volts for each in drawing]
    if len(drawing) > EXTRAS_APART:
        yield _line("distribution", "extras", "extras", (), sum(drawn_a))
    else:
        for at, current_a in enumerate(drawn_a):
            name = " ".join(drawing[at].name.split()) or "extra"
            yield _line("distribution", f"extra {at}", name, (), current_a)


def _sources(station: Station) -> Iterator[Line]:
    panel, controller = station.panel, station.controller
    if controller is not None:
        given = panel.rated_w * panel.count / nominal_v(station.battery) if panel else 0.0
        most = min(controller.output_limit_a or inf, given or inf)
        carries = most if most < inf else 0.0
        yield _line("controller", "distribution", "controller", (), carries)
    if panel is not None:
        if controller is None:
            yield Line("panel", "", "none", "panel")
        else:
            short_a = lead_currents_a(station, 0.0)["panel"]
            yield replace(_line("panel", "controller", "panel", (), short_a), is_fused=False)
    for at, charger in enumerate(station.chargers):
        name = " ".join(charger.name.split()) or "charger"
        line = _line(f"charger {at}", "distribution", name, (), charger.current_a)
        words = name.lower().replace("-", " ").split()
        yield replace(line, both_poles=any(word in words for word in VEHICLE_WORDS))


def _line(source: str, target: str, name: str, numbers: tuple[int, ...], carries_a: float) -> Line:
    fit_a, _ = fitting_fuse_a(carries_a, inf)
    return Line(source, target, "DC", name, numbers, carries_a=carries_a, fit_a=fit_a)


_ENDS = {
    "battery": ("battery", "distribution"),
    "radio": ("distribution", "radio"),
    "amplifier": ("distribution", "amplifier"),
    "panel": ("panel", "controller"),
}


def _entered(
    station: Station, plan: tuple[Block, ...], *, has_distribution: bool
) -> Iterator[Line]:
    """Yield the lines that leads are entered for; leads to one part are joined end to end."""
    advice = advise(station, plan)
    held: dict[str, list[int]] = {}
    for at, lead in enumerate(station.leads):
        end = _end_of(lead, station, has_distribution=has_distribution)
        held.setdefault(end, []).append(at)
    for feeds, places in held.items():
        source, target = _ENDS.get(feeds, ("", ""))
        if feeds == "radio" and not has_distribution:
            source = "battery"
        leads = tuple(station.leads[at] for at in places)
        yield _joined(source, target, feeds, places, leads, [advice[at] for at in places])


def _end_of(lead: Lead, station: Station, *, has_distribution: bool) -> str:
    """Return what a lead feeds here; "spare" where the station has no such part."""
    if lead.feeds == "battery" and not has_distribution:
        # Without a distribution the battery's lead and the radio's are one run.
        return "radio"
    is_joined = station.panel is not None and station.controller is not None
    if (lead.feeds == "amplifier" and station.amplifier is None) or (
        lead.feeds == "panel" and not is_joined
    ):
        return "spare"
    return lead.feeds


def _joined(
    source: str,
    target: str,
    feeds: str,
    places: list[int],
    leads: tuple[Lead, ...],
    advice: list[FuseAdvice],
) -> Line:
    rated = [found for lead in leads if (found := bears_a(lead)) is not None]
    fuses = [lead.fuse_a for lead in leads if lead.fuse_a is not None]
    carries_a = max(each.carries_a for each in advice)
    fit_a, _ = fitting_fuse_a(carries_a, min(rated, default=inf))
    return Line(
        source,
        target,
        "DC" if target else "none",
        feeds,
        tuple(at + 1 for at in places),
        leads,
        carries_a,
        min(rated, default=None),
        min(fuses, default=None),
        fit_a,
        is_fused=feeds not in ("panel", "spare"),
        faults=tuple(each.fault for each in advice if each.fault),
    )


def _rf(station: Station) -> Iterator[Line]:
    chain = ["radio"]
    if station.amplifier is not None:
        chain.append("amplifier")
        yield Line("radio", "amplifier", "keying", "keying lead", is_fused=False)
    if station.tuner is not None:
        chain.append("tuner")
    chain.append("antenna")
    for source, target in pairwise(chain):
        yield Line(source, target, "coax", "coax", is_fused=False)
