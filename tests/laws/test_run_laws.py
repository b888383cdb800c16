"""Laws that hold for the run of any valid scenario."""

from __future__ import annotations

import math
import warnings

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.engine import run as engine_run
from model.engine.comparison import simulate
from model.engine.run import StationRun
from model.engine.step import advance
from model.engine.step_values import Course, State
from model.scenario.scenario import Scenario
from tests.planned import station_inputs
from tests.strategies import scenarios

FEW = settings(max_examples=60)
CLOCKS = ("full_power", "reduced_power", "receive")


def runs_of(scenario: Scenario, **options: object) -> list[StationRun]:
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        return [run for run in simulate(scenario, **options).runs if run is not None]


def assert_physical(run: StationRun) -> None:
    for array in (run.fraction, run.flow.bus_v, run.flow.battery_a, run.flow.load_a):
        assert np.isfinite(array).all()
    assert run.fraction.min() >= 0
    assert run.fraction.max() <= 1 + 1e-12
    sums = run.sums
    assert sums.ledger_residual < 1e-9
    assert sum(sums.by_use_ah.values()) == pytest.approx(sums.load_ah, rel=1e-9, abs=1e-9)
    panel = sums.panel_wh
    assert panel.used + panel.mismatch + panel.spilled == pytest.approx(panel.available, rel=1e-9)
    slack = 1e-6 * max(panel.available, 1.0)
    assert min(panel.used, panel.mismatch, panel.spilled) > -slack
    assert min(vars(sums.losses_wh).values()) > -1e-6 * max(sums.load_wh, 1.0)


@given(scenarios(max_days=2))
@FEW
def test_energy_and_charge_close_and_nothing_is_impossible(scenario: Scenario) -> None:
    for run in runs_of(scenario):
        assert_physical(run)


@given(scenarios(max_days=1))
@settings(max_examples=25)
def test_the_same_input_gives_the_same_output_to_the_bit(scenario: Scenario) -> None:
    first = runs_of(scenario)
    engine_run.run_station.cache_clear()
    second = runs_of(Scenario.model_validate(scenario.model_dump()))
    for one, other in zip(first, second, strict=True):
        assert one.fraction.tobytes() == other.fraction.tobytes()
        assert one.clocks == other.clocks


def part_of(course: Course, start: int, end: int) -> Course:
    return Course(**{name: values[start:end] for name, values in vars(course).items()})


@given(scenarios(max_days=2), st.floats(0, 1))
@settings(max_examples=40)
def test_splitting_a_run_in_two_changes_nothing(scenario: Scenario, share: float) -> None:
    for run in runs_of(scenario):
        inputs = run.inputs
        cut = int(share * inputs.steps)
        first, state = advance(part_of(inputs.course, 0, cut), inputs.bounds, inputs.start, 1 / 60)
        second, end = advance(
            part_of(inputs.course, cut, inputs.steps), inputs.bounds, state, 1 / 60
        )
        assert end == run.end
        assert first.stored_ah + second.stored_ah == run.trace.stored_ah


def ends_h(run: StationRun) -> tuple[float, ...]:
    hours = [getattr(run.clocks, name).hours for name in CLOCKS]
    return tuple(math.inf if one is None else one for one in hours)


def with_station(scenario: Scenario, **fields: object) -> Scenario:
    station = scenario.stations[0].model_copy(update=fields)
    return scenario.model_copy(update={"stations": (station,)})


def full_at_start(scenario: Scenario) -> Scenario:
    """Return the first station alone, full.

    Its radio bears any volts: where too many volts end receive, a thinner lead or a greater load
    does help, by dropping them.
    """
    radio = scenario.stations[0].radio.model_copy(update={"supply_max_v": None})
    return with_station(scenario, start_fraction=1.0, radio=radio)


def worse_loads(scenario: Scenario) -> Scenario:
    radio = scenario.stations[0].radio
    return with_station(
        scenario,
        radio=radio.model_copy(
            update={
                "receive_a": radio.receive_a * 1.3 + 0.01,
                "off_a": radio.off_a * 1.3,
            }
        ),
    )


def worse_battery(scenario: Scenario) -> Scenario:
    battery = scenario.stations[0].battery
    return with_station(
        scenario,
        battery=battery.model_copy(
            update={
                "capacity_ah": battery.capacity_ah * 0.8,
            }
        ),
    )


def worse_leads(scenario: Scenario) -> Scenario:
    leads = tuple(
        lead.model_copy(update={"joints_mohm": lead.joints_mohm + 30.0})
        for lead in scenario.stations[0].leads
    )
    return with_station(scenario, leads=leads)


@pytest.mark.parametrize("worse", [worse_loads, worse_battery, worse_leads])
@given(scenario=scenarios(max_days=2))
@settings(max_examples=40)
def test_a_worse_kit_never_keeps_full_power_or_its_first_end_longer(worse, scenario) -> None:
    better = full_at_start(scenario)
    for one, other in zip(runs_of(better), runs_of(worse(better)), strict=False):
        assert ends_h(other)[0] <= ends_h(one)[0] + 1e-9
        assert min(ends_h(other)) <= min(ends_h(one)) + 1e-9


@pytest.mark.parametrize("worse", [worse_loads, worse_battery, worse_leads])
@given(scenario=scenarios(max_days=2))
@settings(max_examples=40)
def test_held_at_plan_power_a_worse_kit_never_receives_longer(worse, scenario) -> None:
    better = full_at_start(scenario)
    pairs = zip(runs_of(better, as_able=False), runs_of(worse(better), as_able=False), strict=False)
    for one, other in pairs:
        assert ends_h(other)[2] <= ends_h(one)[2] + 1e-9


@given(scenarios(max_days=1))
@settings(max_examples=25)
def test_no_panel_equals_a_panel_in_the_dark(scenario: Scenario) -> None:
    station = scenario.stations[0]
    if station.panel is None:
        return
    walled = scenario.model_copy(
        update={"site": scenario.site.model_copy(update={"horizon": ((0.0, 90.0),)})}
    )
    dark = with_station(walled, panel=station.panel.model_copy(update={"mount": "flat"}))
    # A panel that cannot be, or that a controller cannot bear, is not run.
    for one, other in zip(runs_of(dark), runs_of(with_station(dark, panel=None)), strict=False):
        assert one.fraction == pytest.approx(other.fraction, abs=1e-12)


@given(scenarios(max_days=1))
@settings(max_examples=15)
def test_a_run_by_inputs_equals_the_comparison(scenario: Scenario) -> None:
    for run in runs_of(scenario):
        inputs = station_inputs(run.site, run.trip, run.plan, run.station, run.shared)
        trace, end = advance(inputs.course, inputs.bounds, inputs.start, 1 / 60)
        assert trace.stored_ah == run.trace.stored_ah
        assert isinstance(end, State)
