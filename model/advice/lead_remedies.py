"""Fixes for the leads: the least change that holds full power, proved by a rerun."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import floor, inf

import numpy as np

from model.engine.run import StationRun, run_station
from model.engine.step_values import Bounds
from model.results.voltage_drop import Branch, full_power_end, wire_c
from model.scenario.station import Lead
from model.station.conductors import awg_mm2, conductor_mm2, copper_ohm_per_m, lead_ohm
from model.support.figures import amount, duration, entered, percent

# Conductor sizes as sold: IEC 60228, and the even AWG numbers.
SIZES_MM2 = (0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0)
SIZES_AWG = (20, 18, 16, 14, 12, 10, 8, 6, 4)
# A lead cannot be shorter than the way from a battery to a set beside it.
SHORTEST_M = 0.3
# What the joints of a lead in good order have: two sound plugs, crimped.
SOUND_JOINTS_MOHM = 2.0
USUAL_TARGET = 0.2
COPPER_KG_M3 = 8960.0
BRANCHES: tuple[Branch, ...] = ("battery", "radio", "amplifier")


# A field, below the station, and the number it should have, in the unit its name ends in.
Edit = tuple[str, float]


@dataclass(frozen=True)
class LeadCure:
    """One change of one lead and what it gains.

    Attributes
    ----------
    lead_index : place of the lead in the station.
    edit : field of the lead and the number it should have.
    words : what to do.
    to_fraction : the charge to which full power then holds, without sun [1].
    gained_h : how much longer it holds in this run, inf where it then never ends [h].
    added_kg : copper added; negative where less is carried [kg].
    """

    lead_index: int
    edit: Edit
    words: str
    to_fraction: float
    gained_h: float
    added_kg: float

    @property
    def gain(self) -> str:
        """What it gains, in words that follow the change."""
        longer = (
            "throughout this run"
            if self.gained_h == inf
            else f"{duration(self.gained_h)} longer"
            if self.gained_h >= 1 / 60
            else "no longer in this run"
        )
        return f"keeps full power down to {percent(self.to_fraction)} charge, {longer}"

    @property
    def sentence(self) -> str:
        """The cure and what it gains."""
        return f"{self.words}; {self.gain}."


def lead_cures(run: StationRun) -> tuple[LeadCure, ...]:
    """Return changes of single leads that help, the greatest gain first, then the lightest."""
    step = _telling_step(run)
    before = full_power_end(run, step).fraction
    target = run.station.reserve_fraction or USUAL_TARGET
    found = [
        cure
        for branch in BRANCHES
        for cure in _cures_of(run, step, branch, target)
        if cure.gained_h >= 1 / 60 or (before > target and cure.to_fraction < before - 0.005)
    ]
    return tuple(sorted(found, key=lambda cure: (-cure.gained_h, cure.added_kg)))


def _telling_step(run: StationRun) -> int:
    """Return the step at which full power first ends, else the one with the coldest cells."""
    fails = np.flatnonzero(~run.abilities.full_power)
    return int(fails[0]) if fails.size else int(np.argmax(run.inputs.course.resistance_ohm))


def full_power_h(run: StationRun) -> float:
    """Return how long full power holds at first, inf where it never ends [h]."""
    fails = np.flatnonzero(~run.abilities.full_power)
    return float(fails[0]) * run.clock.step_h if fails.size else inf


def _cures_of(run: StationRun, step: int, branch: Branch, target: float) -> Iterator[LeadCure]:
    leads = [(i, lead) for i, lead in enumerate(run.station.leads) if lead.feeds == branch]
    if not leads or (branch == "amplifier" and run.station.amplifier is None):
        return
    allowed_ohm = _most_ohm(run, step, branch, target)
    for index, lead in leads:
        beside = sum(lead_ohm(other, wire_c(run)) for i, other in leads if i != index)
        for change in (_shorter, _thicker, _sound_joints):
            made = change(lead, allowed_ohm - beside, wire_c(run))
            if made is not None:
                yield _proved(run, step, branch, index, *made)


def _most_ohm(run: StationRun, step: int, branch: Branch, target: float) -> float:
    """Return the resistance of a branch's leads up to which full power reaches a charge [ohm]."""
    now = getattr(run.inputs.bounds, f"{branch}_lead_ohm")
    low, high = 0.0, float(now)
    if full_power_end(run, step, _with_ohm(run, branch, low)).fraction > target:
        return 0.0
    for _ in range(12):
        middle = (low + high) / 2
        if full_power_end(run, step, _with_ohm(run, branch, middle)).fraction <= target:
            low = middle
        else:
            high = middle
    return low


def _with_ohm(run: StationRun, branch: Branch, ohm: float) -> Bounds:
    bounds = run.inputs.bounds
    if branch == "battery":
        return replace(bounds, battery_lead_ohm=ohm)
    if branch == "radio":
        return replace(bounds, radio_lead_ohm=ohm)
    return replace(bounds, amplifier_lead_ohm=ohm)


_Change = tuple[str, float, str]


def _name(lead: Lead) -> str:
    return lead.name or f"lead to the {lead.feeds}"


def _shorter(lead: Lead, allowed_ohm: float, at_c: float) -> _Change | None:
    size_mm2 = conductor_mm2(lead)
    if size_mm2 is None or lead.one_way_m <= SHORTEST_M:
        return None
    per_m = 2 * copper_ohm_per_m(size_mm2, at_c)
    length_m = floor(10 * (allowed_ohm - lead.joints_mohm / 1000) / per_m + 1e-9) / 10
    if length_m >= lead.one_way_m:
        return None
    # Where that is too short to be made, half of what is there shows what length is worth.
    if length_m < SHORTEST_M:
        length_m = max(SHORTEST_M, floor(5 * lead.one_way_m) / 10)
    words = f"{_name(lead)}: {amount(length_m, 'm')} instead of {entered(lead.one_way_m, 'm')}"
    return "one_way_m", length_m, words


def _thicker(lead: Lead, allowed_ohm: float, at_c: float) -> _Change | None:
    size_mm2 = conductor_mm2(lead)
    if size_mm2 is None or lead.one_way_m == 0:
        return None
    budget = allowed_ohm - lead.joints_mohm / 1000
    needed_mm2 = (
        size_mm2 * 2 * lead.one_way_m * copper_ohm_per_m(size_mm2, at_c) / budget
        if budget > 0
        else inf
    )
    if lead.size_mm2 is None:
        return _thicker_awg(lead, needed_mm2)
    larger = [size for size in SIZES_MM2 if size > size_mm2 * 1.01]
    if not larger:
        return None
    size = next((s for s in larger if s >= needed_mm2), larger[min(1, len(larger) - 1)])
    return (
        "size_mm2",
        size,
        f"{_name(lead)}: {entered(size, 'mm²')} instead of {entered(lead.size_mm2, 'mm²')}",
    )


def _thicker_awg(lead: Lead, needed_mm2: float) -> _Change | None:
    assert lead.awg is not None
    larger = [awg for awg in SIZES_AWG if awg < lead.awg]
    if not larger:
        return None
    awg = next((a for a in larger if awg_mm2(a) >= needed_mm2), larger[min(1, len(larger) - 1)])
    return (
        "awg",
        awg,
        f"{_name(lead)}: AWG\N{NO-BREAK SPACE}{awg} instead of AWG\N{NO-BREAK SPACE}{lead.awg}",
    )


def _sound_joints(lead: Lead, allowed_ohm: float, at_c: float) -> _Change | None:
    if lead.joints_mohm <= 1.5 * SOUND_JOINTS_MOHM:
        return None
    words = (
        f"{_name(lead)}: joints of {entered(SOUND_JOINTS_MOHM, 'mΩ')} instead of"
        f" {entered(lead.joints_mohm, 'mΩ')}"
    )
    return "joints_mohm", SOUND_JOINTS_MOHM, words


def _proved(
    run: StationRun, step: int, branch: Branch, index: int, field: str, value: float, words: str
) -> LeadCure:
    station = run.station
    lead = station.leads[index]
    changed = lead.model_copy(update={field: value})
    leads = (*station.leads[:index], changed, *station.leads[index + 1 :])
    after = run_station(
        run.site,
        run.trip,
        run.plan,
        station.model_copy(update={"leads": leads}),
        run.shared,
        step_min=run.clock.step_min,
    )
    held_h, holds_h = full_power_h(run), full_power_h(after)
    gained_h = 0.0 if held_h == holds_h else holds_h - held_h
    bounds = _with_ohm(run, branch, getattr(after.inputs.bounds, f"{branch}_lead_ohm"))
    return LeadCure(
        index,
        (f"leads.{index}.{field}", value),
        words[0].upper() + words[1:],
        full_power_end(run, step, bounds).fraction,
        gained_h,
        _copper_kg(changed) - _copper_kg(lead),
    )


def _copper_kg(lead: Lead) -> float:
    return 2 * lead.one_way_m * (conductor_mm2(lead) or 0.0) * 1e-6 * COPPER_KG_M3
