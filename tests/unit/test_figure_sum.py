"""The sum behind a figure comes to the figure, whatever the scenario.

Charge balance is arithmetic, not a fact of the trade: what was stored, plus what came in, less
what went out and was lost, is what is stored. The figures themselves come from the run.
"""

from __future__ import annotations

import pytest

from app.resources import resource
from model.editing.paths import with_value
from model.engine.comparison import Comparison, simulate
from model.files.scenario_file import read_scenario
from model.scenario.station import Extra
from model.verdict.explain_figure import FigureSum, figure_sum
from model.verdict.table import verdict

SCENARIOS = sorted(resource("scenarios").glob("*.toml"))


@pytest.fixture(scope="module", params=SCENARIOS, ids=lambda path: path.stem)
def comparison(request: pytest.FixtureRequest) -> Comparison:
    return simulate(read_scenario(request.param))


def total(found: FigureSum, unit: str) -> float:
    assert found.total is not None
    amount = getattr(found.total, unit)
    assert isinstance(amount, float)
    return amount


def terms(found: FigureSum, unit: str) -> float:
    return sum(getattr(line, unit) or 0.0 for line in found.lines)


def test_what_is_drawn_is_the_sum_of_its_uses(comparison: Comparison) -> None:
    for index, run in enumerate(comparison.runs):
        assert run is not None
        found = figure_sum(comparison, index, "load_ah")
        assert terms(found, "ah") == pytest.approx(run.sums.load_ah, rel=1e-9)
        assert total(found, "ah") == run.sums.load_ah
        assert terms(found, "wh") == pytest.approx(total(found, "wh"), rel=1e-9)


def test_one_use_is_the_sum_of_what_set_it(comparison: Comparison) -> None:
    for index, run in enumerate(comparison.runs):
        assert run is not None
        for use, ah in run.sums.by_use_ah.items():
            found = figure_sum(comparison, index, f"by_use_ah.{use}")
            assert terms(found, "ah") == pytest.approx(ah, rel=1e-9, abs=1e-9)
            if ah:
                assert total(found, "ah") == pytest.approx(ah, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize(
    "key", ["full_power", "reduced_power", "receive", "lowest_fraction", "end_fraction"]
)
def test_charge_is_followed_to_the_moment_of_a_figure(comparison: Comparison, key: str) -> None:
    for index, run in enumerate(comparison.runs):
        assert run is not None
        found = figure_sum(comparison, index, key)
        full_ah = run.inputs.bounds.full_ah
        assert terms(found, "ah") == pytest.approx(total(found, "ah"), abs=1e-7 * full_ah)
        if key == "lowest_fraction":
            assert total(found, "ah") == pytest.approx(run.lowest.value * full_ah)
        if key == "end_fraction":
            assert total(found, "ah") == pytest.approx(run.end_fraction * full_ah)


def test_sun_is_used_unused_or_lost_to_mismatch(comparison: Comparison) -> None:
    for index, run in enumerate(comparison.runs):
        assert run is not None
        found = figure_sum(comparison, index, "panel_wh.used")
        assert terms(found, "wh") == pytest.approx(run.sums.panel_wh.available, abs=1e-6)


def test_what_is_carried_adds_up_to_the_mass(comparison: Comparison) -> None:
    row = next(row for row in verdict(comparison).rows if row.key == "mass_kg")
    for index, mass_kg in enumerate(row.values):
        found = figure_sum(comparison, index, "mass_kg")
        assert terms(found, "kg") == pytest.approx(mass_kg)
        assert total(found, "kg") == pytest.approx(mass_kg)


def test_every_row_of_the_table_has_a_sum(comparison: Comparison) -> None:
    for row in verdict(comparison).rows:
        for index in range(len(comparison.runs)):
            found = figure_sum(comparison, index, row.key)
            assert comparison.scenario.stations[index].name in found.title
            assert found.lines or "nothing" in found.title


def test_a_radio_that_a_full_battery_does_not_feed_has_every_sum() -> None:
    scenario = with_value(read_scenario(SCENARIOS[0]), "stations.0.radio.receive_min_v", 14.5)
    dead = simulate(scenario)
    for row in verdict(dead).rows:
        found = figure_sum(dead, 0, row.key)
        assert found.lines or "nothing" in found.title
    rate = figure_sum(dead, 0, "hours_on_battery").lines[-1]
    assert rate.factors == "0\N{NO-BREAK SPACE}min"


def test_what_all_carry_stands_in_the_sums_of_each_station() -> None:
    scenario = read_scenario(SCENARIOS[0])
    lamp = Extra(name="lamp", current_a=0.2, shared_by_all=True)
    first = scenario.stations[0]
    first = first.model_copy(update={"extras": (*first.extras, lamp)})
    lit = simulate(scenario.model_copy(update={"stations": (first, *scenario.stations[1:])}))
    run = lit.runs[1]
    assert run is not None
    uses = [f"by_use_ah.{use}" for use in run.sums.by_use_ah]
    assert any(
        "shared extra, current" in line.label for line in figure_sum(lit, 1, "guess_share").lines
    )
    by_use = [line for use in uses for line in figure_sum(lit, 1, use).lines]
    assert any("shared extra, current" in f"{line.label} {line.factors}" for line in by_use)


def test_a_station_that_is_not_run_says_so() -> None:
    scenario = read_scenario(SCENARIOS[0])
    comparison = Comparison(scenario, (None,) * len(scenario.stations))
    assert "not calculated" in figure_sum(comparison, 0, "load_ah").title
    assert figure_sum(comparison, 0, "mass_kg").lines
