"""Sub-rules of a step give the same on plain floats and on arrays, copies the same as the one."""

from __future__ import annotations

from dataclasses import replace
from math import inf

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from model.engine.power_limit import highest_sqrt_w, lower_power
from model.engine.step_parts import charging_limit_a
from model.engine.step_values import Bounds, Sending
from model.engine.sub_rules import (
    ARRAYS,
    PLAIN,
    bus_v,
    charging_limits_a,
    holds,
    key_down,
    panel_offer,
    receive_fails,
)
from tests.laws.sample_kits import question, small_kit
from tests.planned import station_inputs

AMPERES = st.floats(-5.0, 40.0)
WATTS = st.floats(-60.0, 120.0)
OHMS = st.floats(0.0, 0.2)
RATES = st.sampled_from([0.0, 0.1, 0.2, inf])
VOLTS = st.floats(9.0, 15.0)


def bounds_of(**changes: float | bool) -> Bounds:
    scenario = question(small_kit(), days=1)
    inputs = station_inputs(scenario.site, scenario.day, scenario.plan, scenario.stations[0])
    return replace(inputs.bounds, **changes)


BOUNDS = bounds_of(radio_min_v=11.0, amplifier_min_v=10.5, discharge_limit_a=30.0, radio_max_v=14.0)
LEAD = replace(BOUNDS, acceptance_h=2.0, charge_limit_a=inf)


def one(value: float) -> np.ndarray:
    return np.array([value])


@given(st.sampled_from([BOUNDS, LEAD]), st.floats(0, 1), VOLTS, OHMS, RATES)
def test_the_rule_s_copy_of_the_charging_limit(bounds, fraction, rest_v, ohm, rate_per_h):
    stored_ah = fraction * bounds.full_ah
    together = charging_limits_a(
        bounds, one(stored_ah), one(rest_v), one(ohm), 1 / 60, one(rate_per_h)
    )
    alone = charging_limit_a(bounds, stored_ah, rest_v, ohm, 1 / 60, rate_per_h * bounds.full_ah)
    assert together[0] == pytest.approx(alone, rel=1e-12, abs=1e-12)


@given(VOLTS, OHMS, AMPERES, WATTS)
def test_bus_volts_obey_ohm_and_carry_the_power(rest_v, ohm, constant_a, power_w):
    volts, carried = bus_v(one(rest_v - ohm * constant_a), ohm, power_w)
    if np.all(carried):
        current_a = constant_a + power_w / volts[0]
        assert volts[0] == pytest.approx(rest_v - ohm * current_a, rel=1e-9, abs=1e-9)
        assert holds(rest_v, ohm, volts[0] * (1 - 1e-6), constant_a, power_w)


@given(VOLTS, OHMS, AMPERES, WATTS, st.floats(0.2, 2.0), st.floats(0.0, 4.0))
def test_the_highest_power_just_holds(rest_v, ohm, beside_a, power_w, root_a, rises_v):
    # What a battery takes of the sun lifts its bus.
    ceiling_v = rest_v + rises_v
    laws = (0.8, root_a, 0.3, 0.5 * root_a)
    given_ = (rest_v, ohm, beside_a, power_w)
    alone = highest_sqrt_w(*given_, laws, BOUNDS, ceiling_v, PLAIN)
    together = highest_sqrt_w(*map(one, given_), laws, BOUNDS, ceiling_v, ARRAYS)
    assert float(together[0]) == pytest.approx(alone, rel=1e-12, abs=1e-12)
    if alone <= 0.0 or alone > 100.0:
        return
    for share, held in ((1 - 1e-6, True), (1 + 1e-4, False)):
        sent = alone * share
        found, _, _, _ = key_down(
            BOUNDS, laws[0] + laws[1] * sent, laws[2] + laws[3] * sent, amplified=True,
            rest_v=one(rest_v), ohm=ohm, beside_a=beside_a, power_w=power_w, ceiling_v=ceiling_v,
        )  # fmt: skip
        assert bool(found[0]) is held


@given(VOLTS, OHMS, AMPERES, WATTS, st.booleans())
def test_less_power_is_the_same_alone_and_together(rest_v, ohm, beside_a, power_w, amplified):
    how = Sending(
        sqrt_w=8.0, current_factor=0.4, amplified=amplified, laws=(0.5, 0.4, 0.3, 1.2),
        lowest_sqrt_w=4.0, bare_laws=(0.9, 1.3, 0.0, 0.0), bare_lowest_sqrt_w=1.0,
        bare_highest_sqrt_w=4.5,
    )  # fmt: skip
    alone = lower_power(how, BOUNDS, rest_v, ohm, beside_a, power_w, 0.1, inf, PLAIN)
    together = lower_power(
        how, BOUNDS, one(rest_v), ohm, one(beside_a), one(power_w), 0.1, inf, ARRAYS
    )
    assert (alone is None) == (together is None)
    if alone is not None and together is not None:
        for found, expected in zip(together, alone, strict=True):
            assert float(np.ravel(found)[0]) == pytest.approx(float(expected), rel=1e-12)


@given(VOLTS, OHMS, AMPERES, WATTS, st.sampled_from([inf, 14.5, 12.0]))
def test_the_radio_fails_alike_alone_and_together(rest_v, ohm, beside_a, power_w, ceiling_v):
    given_ = (rest_v, ohm, beside_a, power_w)
    alone = receive_fails(BOUNDS, *given_, ceiling_v, PLAIN)
    together = receive_fails(BOUNDS, *map(one, given_), ceiling_v, ARRAYS)
    assert [bool(np.ravel(found)[0]) for found in together] == list(map(bool, alone))


@given(VOLTS, st.floats(0, 25), st.floats(0, 20), st.floats(0, 200), st.booleans())
def test_a_panel_feeds_in_one_way_at_most(rest_v, open_v, best_v, panel_w, tied):
    bounds = replace(BOUNDS, tied=tied, start_margin_v=1.0, output_limit_a=8.0)
    ways = panel_offer(rest_v, open_v, best_v, panel_w, bounds)
    assert sum(map(bool, ways)) == (open_v - 1.0 > rest_v)
    together = panel_offer(one(rest_v), one(open_v), one(best_v), one(panel_w), bounds)
    assert [bool(way[0]) for way in together] == list(map(bool, ways))
    if tied:
        assert not ways[1]
        assert not ways[2]
