"""The shipped scenarios say what their notes promise."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import numpy as np
import pytest

from model.engine.comparison import Comparison, simulate
from model.engine.run import StationRun
from model.files.scenario_file import dump_scenario, parse_scenario, read_scenario
from model.sky.sun_times import sun_events
from model.verdict.table import verdict

SCENARIOS = Path(__file__).parents[2] / "scenarios"
NAMES = ("ridge-weekend", "midwinter-relay", "summer-net")


def compared(name: str) -> Comparison:
    return simulate(read_scenario(SCENARIOS / f"{name}.toml"))


def ran(comparison: Comparison) -> list[StationRun]:
    runs = [run for run in comparison.runs if run is not None]
    assert len(runs) == len(comparison.runs)
    return runs


@pytest.mark.parametrize("name", NAMES)
def test_every_scenario_runs_closes_and_round_trips(name: str) -> None:
    comparison = compared(name)
    for run in ran(comparison):
        assert run.sums.ledger_residual < 1e-9
    assert not [f for f in comparison.findings if f.level in ("error", "warning")]
    assert parse_scenario(dump_scenario(comparison.scenario).encode()) == comparison.scenario


@pytest.mark.parametrize("name", NAMES)
def test_every_scenario_says_that_it_is_invented(name: str) -> None:
    scenario = compared(name).scenario
    assert "invented" in scenario.notes
    assert "invented" in scenario.site.name
    assert "teaches" in scenario.notes


def at(comparison: Comparison, kind: str, turn: int) -> list[float]:
    """Return the charge of both stations at a sunrise or sunset of the run."""
    scenario = comparison.scenario
    moment = [when for when, what in sun_events(scenario.site, scenario.day) if what == kind][turn]
    step = round((moment - comparison.clock.start) / timedelta(minutes=1))
    return [float(run.fraction[step]) for run in ran(comparison)]


@pytest.mark.parametrize("night", [0, 1])
def test_on_the_ridge_dusk_shows_no_difference_and_dawn_all_of_it(night: int) -> None:
    comparison = compared("ridge-weekend")
    small, one_box = at(comparison, "set", night)
    assert abs(small - one_box) < 0.07
    small, one_box = at(comparison, "rise", night)
    assert small - one_box > 0.25


def test_on_the_ridge_the_panel_alone_carries_either_by_day() -> None:
    for run in ran(compared("ridge-weekend")):
        sunny = run.flow.panel_able_a[2 * 60 : 10 * 60]
        assert (sunny > run.flow.load_a[2 * 60 : 10 * 60].min()).all()
        assert np.median(sunny) > run.station.radio.receive_a


def test_on_the_ridge_receive_current_ends_the_one_box_first() -> None:
    small, one_box = (run.clocks.receive for run in ran(compared("ridge-weekend")))
    assert small.until is None
    assert one_box.until is not None
    assert 3 <= one_box.until.hour <= 6
    assert one_box.drain == "receive"


def test_in_midwinter_frost_keeps_the_sun_out_of_a_battery_in_the_open() -> None:
    opened, warm, lead = ran(compared("midwinter-relay"))
    assert opened.clocks.receive.until is not None
    assert opened.flow.battery_a.min() >= 0
    assert warm.clocks.receive.until is None
    assert lead.clocks.receive.until is None
    assert opened.sums.panel_wh.spilled > 10 * opened.sums.panel_wh.used


def test_in_the_summer_net_the_grey_day_ends_what_the_first_day_did_not() -> None:
    for run in ran(compared("summer-net")):
        first_end = min(c.hours for c in vars(run.clocks).values() if c.hours is not None)
        assert 24 < first_end < 72


def test_on_the_ridge_a_long_thin_lead_costs_full_power_but_not_receive() -> None:
    ridge = read_scenario(SCENARIOS / "ridge-weekend.toml")
    one_box = ridge.stations[1]
    leads = tuple(
        lead.model_copy(update={"size_mm2": 2.5, "one_way_m": 3.0})
        if lead.feeds == "radio"
        else lead
        for lead in one_box.leads
    )
    thin = one_box.model_copy(update={"leads": leads})
    changed = simulate(ridge.model_copy(update={"stations": (ridge.stations[0], thin)}))
    before, after = ran(simulate(ridge))[1].clocks, ran(changed)[1].clocks
    assert before.full_power.hours is not None
    assert after.full_power.hours is not None
    assert before.full_power.hours - after.full_power.hours > 2.9
    assert before.receive.hours == pytest.approx(after.receive.hours, abs=0.1)
    lead_sentence = verdict(changed).sentences[0]
    assert "in the leads" in lead_sentence
    for clock in (after.full_power, after.receive):
        assert clock.until is not None
        assert f"{clock.until:%H:%M}" in lead_sentence
