"""A fleet of drawn kits, and the draws of their numbers."""

from __future__ import annotations

from datetime import date
from statistics import NormalDist

import numpy as np
import pytest
from numpy.random import default_rng

from model.editing.field_facts import field_at
from model.editing.paths import value_at, with_value
from model.engine.batch import run_batch
from model.engine.fleet import fleet_of
from model.odds.drawn_weather import same_weather
from model.odds.sampling import draw
from model.odds.spread_fleet import drawn_fleet
from model.sky.trip import planned
from model.station.carried_mass import shared_extras
from tests.laws.sample_kits import one_box, question, small_kit
from tests.planned import station_inputs

LAPTOP = {
    "power_w": 12.0, "sleep_w": 1.0, "converter_efficiency": 0.9, "converter_idle_a": 0.03,
    "own_battery_wh": 20.0,
}  # fmt: skip
EXTRAS = [
    {"name": "lamp", "current_a": 0.2, "hours": [["19:00", "23:30"]], "shared_by_all": True},
    {"name": "router", "power_w": 3.0},
]


def member(scenario, index, factors, at):
    """The station with one set of drawn numbers, changed one by one."""
    station, shared = scenario.stations[index], shared_extras(scenario, index)
    changed = with_value(scenario, "title", "drawn")
    for path, factor in factors.items():
        if path.startswith("shared."):
            _, which, field = path.split(".")
            extra = shared[int(which)]
            new = extra.model_copy(update={field: getattr(extra, field) * factor[at]})
            shared = (*shared[: int(which)], new, *shared[int(which) + 1 :])
            continue
        where = f"stations.{index}.{path}"
        value = value_at(changed, where)
        if isinstance(value, tuple):
            new = tuple((watts, amperes * factor[at]) for watts, amperes in value)
        else:
            new = value * factor[at]
        changed = with_value(changed, where, new)
    assert changed.stations[index] != station
    return changed.stations[index], shared


@pytest.mark.parametrize(
    "change",
    [
        {},
        {"laptop": LAPTOP | {"runs": "data"}},
        {"laptop": LAPTOP | {"charge_w": 15.0}},
        {"laptop": LAPTOP | {"runs": "always", "own_battery_wh": 35.0}},
        {"extras": EXTRAS},
        {"controller": {"kind": "pwm", "own_a": 0.02}},
        {"amplifier": small_kit()["amplifier"] | {"out_of_session": "standby"}},
        {"battery": small_kit()["battery"] | {"chemistry": "AGM"}},
    ],
)
def test_a_drawn_fleet_is_the_drawn_kits_one_by_one(change):
    scenario = question(small_kit() | change, one_box() | {"extras": EXTRAS[:1]}, days=2)
    shared = shared_extras(scenario, 0)
    site, trip, plan, station = (
        scenario.site,
        planned(scenario),
        scenario.plan,
        scenario.stations[0],
    )
    factors = {p: d.factor for p, d in draw([(station, shared)], 4, default_rng(3))[0].items()}
    kits = [member(scenario, 0, factors, at) for at in range(4)]
    single = fleet_of([station_inputs(site, trip, plan, *kit, 10.0) for kit in kits])
    drawn = drawn_fleet(
        site, trip, plan, station, shared, factors, same_weather(site, trip, 10.0, 4)
    )
    for name, rows in single.course.items():
        both = np.broadcast_arrays(_wide(rows), _wide(drawn.course[name]))
        np.testing.assert_allclose(*both, rtol=1e-9, atol=1e-12, err_msg=name)
    for name, limit in single.limits.items():
        np.testing.assert_allclose(limit, drawn.limits[name], rtol=1e-9, err_msg=name)
    one, other = run_batch(single), run_batch(drawn)
    np.testing.assert_allclose(one.end_fraction, other.end_fraction, rtol=1e-8)
    np.testing.assert_array_equal(one.first_end_h, other.first_end_h)


def _wide(rows):
    return rows[:, None] if rows.ndim == 1 else rows


def test_draws_stay_within_the_bounds_of_their_fields():
    kit = small_kit()
    kit["battery"] |= {"charge_efficiency": 0.999, "tested_fraction": 1.19}
    station = question(kit).stations[0]
    drawn = draw([(station, ())], 5000, default_rng(1))[0]
    assert len(drawn) > 20
    for path, one in drawn.items():
        facts = field_at(f"stations.0.{path}")
        if facts.kind == "number":
            value = station
            for name in path.split("."):
                value = value[int(name)] if name.isdigit() else getattr(value, name)
            assert (one.factor * value <= (np.inf if facts.high is None else facts.high)).all()
            assert (one.factor * value >= (-np.inf if facts.low is None else facts.low)).all()


def test_a_draws_95_percent_band_is_the_spread_and_a_measured_number_has_less():
    kit = small_kit()
    kit["radio"]["sources"] = {
        "receive_a": {"from": "measured", "on": date(2027, 3, 1)},
        "off_a": {"from": "guess", "spread": 0.3},
    }
    drawn = draw([(question(kit).stations[0], ())], 40_000, default_rng(5))[0]
    usual = field_at("stations.0.radio.receive_a").spread
    assert drawn["radio.receive_a"].number.spread < usual / 2
    factor = drawn["radio.off_a"].factor
    assert np.quantile(factor, 0.975) == pytest.approx(1.3, rel=0.02)
    assert np.quantile(factor, 0.025) == pytest.approx(1 / 1.3, rel=0.02)
    assert np.median(factor) == pytest.approx(1.0, abs=0.01)


def test_numbers_of_one_field_and_source_share_one_error():
    kit, other = small_kit(), small_kit()
    other["radio"]["sources"] = {"receive_a": {"from": "measured", "on": date(2027, 3, 1)}}
    kits = [(station, ()) for station in question(kit, other).stations]
    one, two = draw(kits, 500, default_rng(7))
    np.testing.assert_array_equal(one["radio.off_a"].factor, two["radio.off_a"].factor)
    np.testing.assert_array_equal(
        one["leads.0.joints_mohm"].factor, one["leads.1.joints_mohm"].factor
    )
    for path in ("radio.receive_a", "battery.capacity_ah"):
        apart = np.corrcoef(one[path].factor, two["radio.receive_a"].factor)[0, 1]
        assert abs(apart) < 0.2


def test_a_shared_error_stays_shared_where_one_of_its_numbers_meets_a_bound():
    # Two tested shares, guessed alike: the second is 2 % below the most that the field takes.
    most = field_at("stations.0.battery.tested_fraction").high
    kits = []
    for tested in (0.7, most / 1.02):
        kit = small_kit()
        kit["battery"]["tested_fraction"] = tested
        kits.append(kit)
    stations = question(*kits).stations
    one, two = draw([(station, ()) for station in stations], 4000, default_rng(11))
    path = "battery.tested_fraction"
    np.testing.assert_array_equal(one[path].factor, two[path].factor)
    assert (two[path].factor <= 1.02 * (1 + 1e-12)).all()
    # What is drawn again is spread as the rest: a lognormal cut off at 1.02, by its quantiles.
    spread = one[path].number.spread
    deviation = np.log1p(spread) / 1.96
    cut = NormalDist().cdf(np.log(1.02) / deviation)
    for share in (0.1, 0.5, 0.9):
        expected = np.exp(deviation * NormalDist().inv_cdf(share * cut))
        assert np.quantile(one[path].factor, share) == pytest.approx(expected, rel=0.02)
