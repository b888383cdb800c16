"""The current-volt curve of the panel: laws that hold for every panel, light and heat."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from model.scenario.station import Panel
from model.sky.irradiance import PanelLight
from model.station.panel_curve import (
    FILL_FACTOR_MAX,
    FILL_FACTOR_MIN,
    cold_open_circuit_v,
    diode_of_fill,
    fill_factor,
    panel_curve,
    tied_current_a,
)

PANEL = Panel(rated_w=100.0, vmp_v=18.0, voc_v=22.0)


def light(irradiance_w_m2, cell_c=25.0):
    g, heat = np.broadcast_arrays(
        np.atleast_1d(np.asarray(irradiance_w_m2, dtype=float)), np.asarray(cell_c, dtype=float)
    )
    return PanelLight(g.copy(), g.copy(), heat.copy())


PANELS = st.builds(
    Panel,
    rated_w=st.floats(0.1, 20000.0),
    vmp_v=st.floats(0.1, 500.0),
    voc_v=st.floats(0.1, 600.0).map(lambda number: round(number, 8)),
    power_per_c=st.floats(-0.02, 0.0).map(lambda number: round(number, 8)),
    voc_per_c=st.floats(-0.02, 0.0).map(lambda number: round(number, 8)),
    other_losses=st.floats(0.0, 0.95).map(lambda number: round(number, 8)),
    count=st.integers(1, 50),
    wiring=st.sampled_from(["parallel", "series"]),
)
LIGHTS = st.builds(
    light,
    st.one_of(st.just(0.0), st.floats(1e-15, 1e-3), st.floats(1e-3, 1500.0)),
    st.floats(-70.0, 130.0),
)


@given(PANELS, LIGHTS, st.floats(0.0, 40000.0))
def test_tied_power_never_exceeds_the_best(panel, lit, volts):
    curve = panel_curve(panel, lit)
    for values in vars(curve).values():
        assert np.isfinite(values).all()
        assert values.min() >= 0.0
    current = tied_current_a(curve, volts)
    assert current.min() >= 0.0
    assert (current * volts <= curve.maximum_w * (1.0 + 1e-9)).all()
    assert (current <= curve.short_circuit_a).all()


@given(PANELS, LIGHTS)
def test_best_point_lies_on_the_curve(panel, lit):
    curve = panel_curve(panel, lit)
    power = tied_current_a(curve, curve.maximum_power_v) * curve.maximum_power_v
    assert power == pytest.approx(curve.maximum_w, rel=1e-9)
    for nearby in (0.99, 1.01):
        volts = nearby * curve.maximum_power_v
        assert (tied_current_a(curve, volts) * volts <= curve.maximum_w).all()


@given(PANELS, LIGHTS, st.floats(0.0, 1.0))
def test_current_falls_with_volts_to_nothing_when_open(panel, lit, share):
    curve = panel_curve(panel, lit)
    at_share = tied_current_a(curve, share * curve.open_circuit_v)
    assert (at_share >= tied_current_a(curve, curve.open_circuit_v)).all()
    assert tied_current_a(curve, curve.open_circuit_v).max() == 0.0
    assert tied_current_a(curve, 0.0) == pytest.approx(curve.short_circuit_a)


def test_one_number_at_a_time_gives_the_same_current():
    curve = panel_curve(PANEL, light([0.0, 5.0, 300.0, 1000.0], 40.0))
    together = tied_current_a(curve, 13.2)
    for step, expected in enumerate(together):
        if curve.open_circuit_v[step] <= 13.2:
            assert expected == 0.0
            continue
        alone = curve.short_circuit_a[step] - curve.saturation_a[step] * math.expm1(
            13.2 / curve.knee_v[step]
        )
        assert alone == pytest.approx(expected, rel=1e-12)


def test_volts_may_differ_from_step_to_step():
    curve = panel_curve(PANEL, light([800.0, 800.0]))
    low, high = tied_current_a(curve, np.array([12.0, 17.0]))
    assert low == tied_current_a(curve, 12.0)[0]
    assert high == tied_current_a(curve, 17.0)[1]


def test_power_follows_light_heat_losses_and_count():
    # 200 W/m2, 45 degC, two panels: 100 * 0.2 * (1 - 0.004 * 20) * 0.85 * 2.
    pair = PANEL.model_copy(update={"other_losses": 0.15, "count": 2})
    curve = panel_curve(pair, light(200.0, 45.0))
    assert curve.maximum_w[0] == pytest.approx(100.0 * 0.2 * 0.92 * 0.85 * 2.0)


def test_series_adds_volts_and_parallel_adds_current():
    one = panel_curve(PANEL, light(700.0, 35.0))
    series = panel_curve(
        PANEL.model_copy(update={"count": 3, "wiring": "series"}), light(700.0, 35.0)
    )
    parallel = panel_curve(PANEL.model_copy(update={"count": 3}), light(700.0, 35.0))
    assert series.open_circuit_v == pytest.approx(3.0 * one.open_circuit_v)
    assert series.maximum_power_v == pytest.approx(3.0 * one.maximum_power_v)
    assert series.short_circuit_a == pytest.approx(one.short_circuit_a)
    assert parallel.open_circuit_v == pytest.approx(one.open_circuit_v)
    assert parallel.short_circuit_a == pytest.approx(3.0 * one.short_circuit_a)
    for together in (series, parallel):
        assert together.maximum_w == pytest.approx(3.0 * one.maximum_w)
    assert tied_current_a(series, 39.0) == pytest.approx(tied_current_a(one, 13.0))
    assert tied_current_a(parallel, 13.0) == pytest.approx(3.0 * tied_current_a(one, 13.0))


def test_other_losses_take_current_and_leave_volts():
    clean, dirty = (
        panel_curve(PANEL.model_copy(update={"other_losses": lost}), light(900.0))
        for lost in (0.0, 0.2)
    )
    assert dirty.short_circuit_a == pytest.approx(0.8 * clean.short_circuit_a)
    assert dirty.open_circuit_v == pytest.approx(clean.open_circuit_v)
    assert dirty.maximum_power_v == pytest.approx(clean.maximum_power_v)


def test_short_circuit_current_grows_with_light_and_hardly_with_heat():
    dim, bright, hot = panel_curve(
        PANEL, light([300.0, 900.0, 900.0], [25.0, 25.0, 65.0])
    ).short_circuit_a
    assert bright / dim == pytest.approx(3.0, rel=1e-6)
    assert 1.0 < hot / bright < 1.03


def test_heat_and_dusk_lower_the_volts():
    cool, hot, dim = panel_curve(
        PANEL, light([1000.0, 1000.0, 50.0], [25.0, 65.0, 25.0])
    ).open_circuit_v
    assert cool == pytest.approx(22.0)
    assert hot == pytest.approx(22.0 * (1.0 - 0.003 * 40.0))
    assert 0.85 < dim / cool < 0.9


def test_darkness_gives_nothing():
    curve = panel_curve(PANEL, light([0.0, 0.0], [-40.0, 30.0]))
    assert curve.maximum_w.max() == 0.0
    assert curve.open_circuit_v.max() == 0.0
    assert curve.maximum_power_v.max() == 0.0
    assert tied_current_a(curve, 13.0).max() == 0.0
    assert tied_current_a(curve, 0.0).max() == 0.0


def test_cold_volts_count_the_panels_in_series():
    assert cold_open_circuit_v(PANEL, 25.0) == pytest.approx(22.0)
    series = PANEL.model_copy(update={"count": 2, "wiring": "series"})
    assert cold_open_circuit_v(series, -15.0) == pytest.approx(2.0 * 22.0 * 1.12)
    parallel = PANEL.model_copy(update={"count": 2})
    assert cold_open_circuit_v(parallel, -15.0) == pytest.approx(22.0 * 1.12)


def test_arrays_are_read_only():
    for values in vars(panel_curve(PANEL, light(500.0))).values():
        with pytest.raises(ValueError, match="read-only"):
            values[0] = 1.0


def test_a_diode_is_looked_up_where_a_search_of_its_table_finds_it():
    # Fill factors on both sides of every point of the table, and beyond its ends.
    points = fill_factor(np.geomspace(0.01, 100.0, 2000))
    fills = np.concatenate([points, np.nextafter(points, 0.0), np.linspace(0.0, 1.2, 5001)])
    best, steepness, _ = diode_of_fill(fills)
    clipped = np.clip(fills, FILL_FACTOR_MIN, FILL_FACTOR_MAX)
    np.testing.assert_array_equal(best, np.interp(clipped, points, np.geomspace(0.01, 100.0, 2000)))
    np.testing.assert_array_equal(steepness, best + np.log1p(best))
