"""One input moved by a share, a kit of other sizes, and the inputs a map runs along."""

from __future__ import annotations

import pytest

from model.editing.move_input import can_move, label_of, moved
from model.editing.paths import value_at, with_value
from model.editing.resize import Pair, pair_kg, with_pair
from model.sizing.map_inputs import STEPS, map_inputs
from model.station.carried_mass import carried_total
from tests.laws.sample_kits import question, small_kit

GIVEN = question(small_kit())
CAPACITY = "stations.0.battery.capacity_ah"


@pytest.mark.parametrize(("share", "by"), [(-1.0, 0.5), (0.0, 1.0), (0.5, 2**0.5), (1.0, 2.0)])
def test_the_ends_of_the_slider_are_half_and_twice_of_a_number(share: float, by: float) -> None:
    assert value_at(moved(GIVEN, CAPACITY, share), CAPACITY) == pytest.approx(
        by * value_at(GIVEN, CAPACITY)
    )


def test_a_moved_number_ends_at_the_bounds_of_its_field() -> None:
    full = with_value(GIVEN, "stations.0.start_fraction", 0.95)
    assert value_at(moved(full, "stations.0.start_fraction", 1.0), "stations.0.start_fraction") == 1


def test_the_plan_and_the_air_are_moved_as_a_whole() -> None:
    half = moved(GIVEN, "plan.0.rf_w", -1.0)
    assert [block.rf_w for block in half.plan] == [block.rf_w / 2 for block in GIVEN.plan]
    colder = moved(GIVEN, "day.low_c", -1.0)
    for name in ("low_c", "high_c"):
        before, after = getattr(GIVEN.day, name), getattr(colder.day, name)
        assert after == tuple(value - 8.0 for value in before)
    assert label_of("plan.0.rf_w").endswith(", whole plan")
    assert label_of("day.low_c") == "night and day air"


def test_key_down_currents_are_moved_and_their_powers_stay() -> None:
    path = "stations.0.radio.key_down"
    before, after = value_at(GIVEN, path), value_at(moved(GIVEN, path, 1.0), path)
    assert [power for power, _ in after] == [power for power, _ in before]
    assert [a for _, a in after] == pytest.approx([2 * a for _, a in before])


def test_nothing_is_moved_where_there_is_no_number() -> None:
    assert can_move(GIVEN, CAPACITY)
    assert not can_move(with_value(GIVEN, "stations.0.tuner", None), "stations.0.tuner")
    assert not can_move(with_value(GIVEN, "day.wind_m_s", 0.0), "day.wind_m_s")


def test_a_kit_of_other_sizes_weighs_what_is_said_of_it() -> None:
    now = Pair.of(GIVEN.stations[0])
    larger = Pair(now.capacity_ah * 1.5, now.rated_w * 2)
    kit = with_pair(GIVEN, 0, larger)
    assert Pair.of(kit.stations[0]).capacity_ah == pytest.approx(larger.capacity_ah)
    assert Pair.of(kit.stations[0]).rated_w == pytest.approx(larger.rated_w)
    assert carried_total(kit.stations[0]).mass_kg == pytest.approx(pair_kg(GIVEN, 0, larger))
    assert with_pair(GIVEN, 0, now) == GIVEN
    bare = Pair(now.capacity_ah, 0.0)
    assert with_pair(GIVEN, 0, bare).stations[0].panel is None
    assert pair_kg(GIVEN, 0, bare) < pair_kg(GIVEN, 0, now)


def test_a_map_runs_along_inputs_about_what_they_are_now() -> None:
    inputs = {each.key: each for each in map_inputs(GIVEN)}
    assert set(inputs) == {"stations.0.radio.receive_a", "share", "power", "night"}
    assert inputs["power"].now == 50.0
    for each in inputs.values():
        values = each.axis().values
        assert list(values) == sorted(values)
        assert each.key == "night" or any(value == pytest.approx(each.now) for value in values)
    receive = inputs["stations.0.radio.receive_a"].axis().values
    assert len(receive) == STEPS
    assert receive[-1] / receive[0] == pytest.approx(100.0, rel=0.02)
    silent = with_value(GIVEN, "plan", tuple(b for b in GIVEN.plan if not b.sends))
    assert {each.key for each in map_inputs(silent)} == {"stations.0.radio.receive_a", "night"}
