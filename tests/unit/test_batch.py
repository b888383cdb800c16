"""The batch form and the one-station form of the step rule are the same rule."""

from __future__ import annotations

import dataclasses
from itertools import cycle

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.engine.batch import FleetStep, run_batch
from model.engine.batch_notes import NEVER
from model.engine.fleet import fleet_of, fleet_of_one
from tests.laws.sample_kits import one_box, question, small_kit
from tests.planned import run_station, station_inputs

STEP_MIN = 10.0


class Recorder:
    """Keeps every step of every member."""

    def __init__(self):
        self.stored_ah, self.bus_v, self.battery_a = [], [], []

    def __call__(self, moment: FleetStep) -> None:
        self.stored_ah.append(moment.stored_ah.copy())
        self.bus_v.append(moment.bus_v.copy())
        self.battery_a.append(moment.battery_a.copy())


def tiny(low, high):
    return st.floats(low, high, allow_nan=False)


SHARES = st.lists(tiny(0.6, 1.5), min_size=12, max_size=12)


@st.composite
def kinds_of_station(draw):
    """A station whose parts and limits take every way through the rule."""
    kit = draw(st.sampled_from([small_kit, one_box]))()
    battery = kit["battery"]
    chemistry = draw(st.sampled_from(["LFP", "Li-ion", "AGM", "flooded", "NiMH"]))
    battery |= {
        "chemistry": chemistry,
        "capacity_ah": draw(tiny(3.0, 40.0)),
        "cutoff_v": draw(st.sampled_from([0.0, 10.5, 11.8])),
        "reconnect_v": draw(st.sampled_from([0.0, 12.0])),
        "charge_efficiency": draw(st.sampled_from([1.0, 0.85])),
        "kept": draw(st.sampled_from(["open", "insulated", "warm"])),
    }
    for limit in ("charge_limit_a", "discharge_limit_a"):
        if draw(st.booleans()):
            del battery[limit]
    kit["start_fraction"] = draw(tiny(0.05, 1.0))
    kit["controller"] |= draw(
        st.sampled_from(
            [
                {"kind": "mppt"},
                {"kind": "mppt", "output_limit_a": 2.0},
                {"kind": "pwm"},
                {"kind": "pwm", "starts_from_dead": True, "output_limit_a": 3.0},
                {"kind": "mppt", "starts_from_dead": True},
            ]
        )
    )
    kit["panel"] |= draw(st.sampled_from([{}, {"rated_w": 250.0}, {"vmp_v": 13.5, "voc_v": 16.5}]))
    if draw(st.integers(0, 3)) == 0:
        del kit["panel"]
    laptop = {"power_w": draw(tiny(5, 40)), "sleep_w": 1.0, "converter_efficiency": 0.9}
    kit |= draw(
        st.sampled_from(
            [
                {},
                {"laptop": laptop | {"own_battery_wh": 30.0, "charge_w": 25.0, "runs": "data"}},
                {"laptop": laptop | {"own_battery_wh": 20.0, "charge_w": 20.0}},
                {"laptop": laptop | {"own_battery_wh": 20.0}},
            ]
        )
    )
    if draw(st.booleans()):
        kit["chargers"] = [{"current_a": 8.0, "hours": [["09:00", "11:30"]]}]
    if draw(st.booleans()):
        kit["radio"]["supply_max_v"] = 14.2
    cold = draw(st.sampled_from([(8.0, 20.0), (-25.0, -5.0), (-4.0, 6.0)]))
    index = draw(st.sampled_from([1.0, 0.85, 0.25]))
    return kit, {"days": 2, "low_c": cold[0], "high_c": cold[1], "sky": index}


def varied(station, shares):
    """Change the numbers of a station, each by its share."""
    by = cycle(shares)
    radio, battery, panel = station.radio, station.battery, station.panel
    change = {
        "radio": radio.model_copy(
            update={
                "receive_a": radio.receive_a * next(by),
                "receive_min_v": radio.receive_min_v * (0.9 + 0.1 * next(by)),
                "key_down": tuple((w, a * next(by)) for w, a in radio.key_down[:2]),
            }
        ),
        "battery": battery.model_copy(
            update={
                "capacity_ah": battery.capacity_ah * next(by),
                "resistance_ohm": battery.resistance_ohm * next(by),
                "cutoff_v": battery.cutoff_v * (0.95 + 0.05 * next(by)),
            }
        ),
        "start_fraction": min(station.start_fraction * next(by), 1.0),
        "panel": panel and panel.model_copy(update={"rated_w": panel.rated_w * next(by)}),
    }
    return station.model_copy(update=change)


@settings(max_examples=60)
@given(kinds_of_station(), st.lists(SHARES, min_size=1, max_size=3))
def test_both_forms_give_the_same_trajectory(kind, changes):
    kit, day = kind
    scenario = question(kit, **day)
    station = scenario.stations[0]
    both_forms(scenario, [station, *(varied(station, shares) for shares in changes)])


def both_forms(scenario, stations):
    """Run stations as a fleet and one by one, hold both equal and return the single runs."""
    site, when, plan = scenario.site, scenario.day, scenario.plan
    inputs = [station_inputs(site, when, plan, s, (), STEP_MIN) for s in stations]
    seen = Recorder()
    outcomes = run_batch(fleet_of(inputs), seen)
    runs = [run_station(site, when, plan, s, (), step_min=STEP_MIN) for s in stations]
    for member, run in enumerate(runs):
        full_ah = run.inputs.bounds.full_ah
        stored = np.array(seen.stored_ah)[:, member]
        assert np.abs(stored - run.flow.stored_ah).max() <= 1e-12 * full_ah
        bus_v = np.array(seen.bus_v)[:, member]
        np.testing.assert_allclose(bus_v, run.flow.bus_v, rtol=1e-11)
        current = np.array(seen.battery_a)[:, member]
        np.testing.assert_allclose(current, run.flow.battery_a, rtol=1e-9, atol=1e-11)
        compare_notes(outcomes, run, member)
    return runs


def compare_notes(outcomes, run, member):
    def step_of(hours):
        return NEVER if hours is None else round(hours * 60 / STEP_MIN)

    assert outcomes.end_fraction[member] == pytest.approx(run.end_fraction, rel=1e-12, abs=1e-12)
    assert outcomes.lowest_fraction[member] == pytest.approx(run.lowest.value, rel=1e-12, abs=1e-12)
    for name in ("full_power", "reduced_power", "receive"):
        assert getattr(outcomes, name)[member] == step_of(getattr(run.clocks, name).hours), name
    first_off = run.trace.loads_off[0] if run.trace.loads_off else NEVER
    assert outcomes.loads_off[member] == first_off
    assert outcomes.off_steps[member] == len(run.trace.loads_off)
    below = np.flatnonzero(run.fraction < run.station.reserve_fraction - 1e-12)
    assert outcomes.reserve[member] == (below[0] if below.size else NEVER)
    day_steps = round(1440 / STEP_MIN)
    assert outcomes.day_fraction[:, member] == pytest.approx(run.fraction[::day_steps], rel=1e-12)
    days = [run.fraction[at : at + day_steps + 1] for at in (0, day_steps)]
    peaks, troughs = [day.max() for day in days], [day.min() for day in days]
    assert outcomes.peak_fraction[:, member] == pytest.approx(peaks, rel=1e-12)
    assert outcomes.trough_fraction[:, member] == pytest.approx(troughs, rel=1e-12, abs=1e-12)


SENDS_AT_DUSK = [{"start": "00:00", "end": "24:00", "activity": "voice", "rf_w": 50.0,
                  "transmit_share": 0.1}]  # fmt: skip


def weak():
    kit = small_kit()
    kit["battery"] |= {"capacity_ah": 9.0, "cutoff_v": 11.8, "resistance_ohm": 0.08}
    del kit["battery"]["discharge_limit_a"]
    return kit


@pytest.mark.parametrize(
    ("battery", "panel", "controller", "happens"),
    [
        ({}, {}, {}, {"drops", "reduced", "loads_off"}),
        ({"reconnect_v": 12.8}, {"rated_w": 150.0}, {}, {"drops", "returns"}),
        ({}, {"vmp_v": 13.5, "voc_v": 16.5}, {}, {"tied"}),
        ({}, {}, {"kind": "pwm", "starts_from_dead": True}, {"tied", "drops"}),
        ({"chemistry": "Li-ion", "capacity_ah": 20.0}, {}, {}, {"radio_off"}),
        ({"chemistry": "AGM", "capacity_ah": 8.0}, {}, {}, {"over_rate"}),
        ({}, {"rated_w": 300.0}, {"output_limit_a": 3.0}, {"limited"}),
    ],
)
def test_each_way_through_the_rule_is_the_same(battery, panel, controller, happens):
    kit = weak()
    kit["battery"] |= battery
    kit["panel"] |= panel
    kit["controller"] |= controller
    scenario = question(kit, plan=SENDS_AT_DUSK, days=2)
    station = scenario.stations[0]
    runs = both_forms(scenario, [station, varied(station, [0.9, 1.1, 1.05])])
    assert happens <= set().union(*map(what_happened, runs))


def what_happened(run):
    trace, flow, bounds = run.trace, run.flow, run.inputs.bounds
    happened = {
        "drops": trace.drops,
        "reduced": trace.reduced,
        "radio_off": trace.radio_off,
        "loads_off": trace.loads_off,
        "returns": len(trace.drops) > 1,
        "tied": ((flow.panel_source_a > 0) & (flow.panel_source_a < bounds.output_limit_a)).any(),
        "limited": (flow.panel_source_a == bounds.output_limit_a).any(),
        "over_rate": (flow.drawn_a > flow.battery_a).any(),
    }
    return {name for name, found in happened.items() if found}


def test_a_shared_input_is_the_same_as_one_given_to_every_member():
    scenario = question(small_kit(), days=2)
    inputs = station_inputs(
        scenario.site, scenario.day, scenario.plan, scenario.stations[0], (), STEP_MIN
    )
    shared = fleet_of_one(inputs, 3)
    own = dataclasses.replace(
        shared,
        limits={name: np.full(3, value) for name, value in shared.limits.items()},
        course={name: np.repeat(v[:, None], 3, axis=1) for name, v in shared.course.items()},
        send_row=np.repeat(shared.send_row[:, None], 3, axis=1),
    )
    one, other = run_batch(shared), run_batch(own)
    for field in dataclasses.fields(one):
        np.testing.assert_array_equal(getattr(one, field.name), getattr(other, field.name))


def test_kits_of_different_kinds_make_no_fleet():
    scenario = question(small_kit(), one_box())
    inputs = [
        station_inputs(scenario.site, scenario.day, scenario.plan, s, (), STEP_MIN)
        for s in scenario.stations
    ]
    with pytest.raises(ValueError, match="same parts"):
        fleet_of(inputs)
