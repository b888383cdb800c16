"""What findings, chain, fuses, exposure and signals say holds for every valid scenario."""

from __future__ import annotations

from math import isfinite

import pytest
from hypothesis import given, settings

from model.editing.paths import field_at
from model.engine.comparison import simulate
from model.findings.rules import find
from model.results.signal_levels import heard, prices
from model.results.voltage_drop import chain_at, chain_at_charge
from model.scenario.scenario import Scenario
from model.station.fuses import advise
from model.station.rf_exposure import exposures
from tests.strategies import scenarios

FEW = settings(max_examples=40)


@given(scenarios(max_days=2, max_blocks=30))
@settings(max_examples=80)
def test_every_finding_names_a_field_and_speaks_plainly(scenario: Scenario) -> None:
    for finding in find(scenario):
        assert field_at(finding.path)
        for words in (finding.sentence, finding.remedy):
            assert "nan" not in words
            assert "inf " not in words
            assert "  " not in words


@given(scenarios(max_days=2, max_blocks=30))
@FEW
def test_the_chain_is_that_of_the_run(scenario: Scenario) -> None:
    for run in simulate(scenario).runs:
        if run is None:
            continue
        for step in (0, run.inputs.steps // 2, run.inputs.steps - 1):
            chain = chain_at(run, step)
            radio_v = chain.at_set_v("radio")[1]
            assert radio_v == pytest.approx(run.abilities.peak_v[step], rel=1e-9, abs=1e-9)
            assert sum(link.weakest for link in chain.links) <= 1
            assert 0 <= chain.holding_w <= chain.rf_w * (1 + 1e-9)
            if chain.holds and chain.rf_w >= run.station.radio.lowest_rf_w:
                assert chain.holding_w == pytest.approx(chain.rf_w)
        end = chain_at(run).full_power_end
        assert end.fraction == 1.0 or chain_at_charge(run, end.fraction).holds


@given(scenarios(max_days=2, max_blocks=30))
@FEW
def test_advice_never_passes_what_a_conductor_bears(scenario: Scenario) -> None:
    for station in scenario.stations:
        for advice in advise(station, scenario.plan):
            if advice.fuse_a is not None:
                assert advice.carries_a <= advice.fuse_a <= advice.bears_a
        for found in exposures(station, scenario.plan):
            assert isfinite(found.distance_m)
            assert found.distance_m >= found.near_field_m > 0


@given(scenarios(max_days=2, max_blocks=30))
@FEW
def test_signals_are_finite_and_compared_with_the_first(scenario: Scenario) -> None:
    comparison = simulate(scenario)
    for block in heard(comparison):
        for signal in block.signals:
            assert isfinite(signal.eirp_w)
            assert isfinite(signal.per_watt_a)
        assert block.signals[0].over_first_db in (None, 0.0)
    for price in prices(comparison):
        assert price.louder_db >= 0
        assert price.sentence.endswith(".")
