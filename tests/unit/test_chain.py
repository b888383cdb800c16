"""Chains worked by hand with Ohm's law, and the clocks that follow from them."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from model.advice.lead_remedies import full_power_h, lead_cures
from model.editing.paths import with_value
from model.engine.comparison import simulate
from model.engine.run import StationRun
from model.files.scenario_file import read_scenario
from model.results.two_load_test import (
    LoadReading,
    battery_ohm_that_explains,
    joints_that_explain,
    resistance_of,
    surplus_mohm,
)
from model.results.voltage_drop import chain_at, chain_at_charge, full_power_end
from model.scenario.scenario import Scenario
from tests.unit.scenario_maker import (
    AMPLIFIER,
    BATTERY,
    NET,
    RADIO,
    SMALL_RADIO,
    WATCH,
    changed,
    scenario,
)  # fmt: skip

SCENARIOS = Path(__file__).resolve().parents[2] / "scenarios"
# Two exact points: 2 A + 1.8 A per root watt, so 20 A at 100 W and 11 A at 25 W.
EXACT = RADIO | {"receive_a": 1.0, "key_down": ((25.0, 11.0), (100.0, 20.0))}
HALF_FULL_LFP_V = 4 * 3.299
CALM = {"low_c": 25.0, "high_c": 25.0}


def run_of(given: Scenario, index: int = 0) -> StationRun:
    run = simulate(given).runs[index]
    assert run is not None
    return run


def plain(
    battery_mohm: float,
    lead_mohm: float,
    radio_mohm: float,
    *,
    rf_w: float = 100.0,
    **parts: object,
) -> Scenario:
    """A half full LFP battery at 25 °C with leads that are all joints, and no sun."""
    return scenario(
        station={
            "radio": EXACT,
            "battery": BATTERY | {"resistance_ohm": battery_mohm / 1000, "discharge_limit_a": None},
            "start_fraction": 0.5,
            "panel": None,
            "controller": None,
            "leads": (
                {"for": "battery", "awg": 6, "one_way_m": 0.0, "joints_mohm": lead_mohm},
                {"for": "radio", "awg": 6, "one_way_m": 0.0, "joints_mohm": radio_mohm},
            ),
        }
        | parts,
        plan=(NET | {"start": "00:00", "rf_w": rf_w}, WATCH | {"start": "21:00", "end": "24:00"}),
        day=CALM,
    )


@pytest.mark.parametrize(
    ("milliohms", "rf_w", "current_a"),
    [
        ((0.0, 0.0, 0.0), 100.0, 20.0),
        ((20.0, 5.0, 10.0), 100.0, 20.0),
        ((20.0, 5.0, 10.0), 25.0, 11.0),
        ((45.0, 0.0, 0.0), 100.0, 20.0),
        ((10.0, 0.0, 40.0), 25.0, 11.0),
        ((28.0, 3.0, 83.0), 25.0, 11.0),
    ],
)
def test_first_key_down_volts_are_those_of_ohms_law(
    milliohms: tuple[float, float, float], rf_w: float, current_a: float
) -> None:
    run = run_of(changed(plain(*milliohms, rf_w=rf_w), radio__supply_min_v=None))
    by_hand = HALF_FULL_LFP_V - current_a * sum(milliohms) / 1000
    assert run.transmit_volts.first == pytest.approx(by_hand, abs=0.01)
    assert chain_at(run).at_set_v("radio")[1] == pytest.approx(by_hand, abs=0.01)


def test_every_point_of_a_chain_worked_by_hand() -> None:
    chain = chain_at(run_of(plain(20.0, 5.0, 10.0)))
    key_down = [round(link.key_down_v, 4) for link in chain.links if link.kind != "conductors"]
    receive = [round(link.receive_v, 4) for link in chain.links if link.kind != "conductors"]
    # 13.196 V less 20 A, or 1 A, through 20, 25 and 35 mΩ.
    assert key_down == [12.796, 12.696, 12.496]
    assert receive == [13.176, 13.171, 13.161]
    assert chain.bus_key_down_v == pytest.approx(12.696)
    assert chain.weakest is not None
    assert chain.weakest.kind == "cells"


def test_a_two_metre_lead_worked_by_hand() -> None:
    # 10 AWG, 2 m: 4 m of 3.277 mΩ/m at 20 °C, 1.965 % more at 25 °C; 20 A lose 0.267 V.
    given = plain(0.0, 0.0, 0.0)
    given = changed(given, leads__1__awg=10, leads__1__one_way_m=2.0)
    chain = chain_at(run_of(given))
    assert HALF_FULL_LFP_V - chain.at_set_v("radio")[1] == pytest.approx(0.2673, abs=5e-4)
    assert chain.weakest is not None
    assert chain.weakest.words == "lead to the radio: 2\xa0m of AWG\xa010"


def test_amplifier_and_radio_have_leads_of_their_own() -> None:
    # Radio 1.13 A at 5 W of drive, amplifier 10.3 A: 11.99 A through the common 10 mΩ.
    given = plain(
        0.0,
        10.0,
        20.0,
        rf_w=50.0,
        radio=SMALL_RADIO,
        amplifier=AMPLIFIER | {"in_session": "operate"},
    )
    leads = (*given.stations[0].leads, {"for": "amplifier", "one_way_m": 0.0, "joints_mohm": 30.0})
    chain = chain_at(run_of(changed(given, leads=leads)))
    radio_a, amplifier_a = 1.69, 10.3
    bus_v = HALF_FULL_LFP_V - 0.010 * (radio_a + amplifier_a)
    assert chain.bus_key_down_v == pytest.approx(bus_v, abs=1e-3)
    assert chain.at_set_v("radio")[1] == pytest.approx(bus_v - 0.020 * radio_a, abs=1e-3)
    assert chain.at_set_v("amplifier")[1] == pytest.approx(bus_v - 0.030 * amplifier_a, abs=1e-3)


def test_constant_power_beside_the_radio_draws_more_as_volts_fall() -> None:
    given = plain(40.0, 0.0, 0.0, extras=({"power_w": 60.0},))
    volts = chain_at(run_of(given)).bus_key_down_v
    # V = E - R (20 A + 60 W / V), as a check by insertion.
    assert volts == pytest.approx(HALF_FULL_LFP_V - 0.040 * (20.0 + 60.0 / volts), abs=1e-9)


def test_without_resistance_the_clocks_collapse_onto_the_batterys_own_end() -> None:
    given = changed(
        plain(0.0, 0.0, 0.0),
        radio__supply_min_v=None,
        radio__receive_min_v=None,
        battery__cutoff_v=0.0,
    )
    clocks = run_of(given).clocks
    assert clocks.receive.cause == "empty"
    assert clocks.full_power == clocks.reduced_power == clocks.receive


def test_with_resistance_full_power_ends_first() -> None:
    clocks = run_of(plain(30.0, 5.0, 30.0)).clocks
    assert clocks.full_power.cause == "sag"
    assert clocks.full_power.until < clocks.receive.until


def test_the_chain_at_any_charge_agrees_with_the_charge_at_which_full_power_ends() -> None:
    run = run_of(plain(20.0, 5.0, 10.0))
    end = chain_at(run).full_power_end
    assert chain_at_charge(run, 0.9).holds
    assert chain_at_charge(run, end.fraction).holds
    assert not chain_at_charge(run, end.fraction - 0.002).holds
    # 11.7 V at the radio and 20 A through 35 mΩ: 12.4 V at rest.
    assert end.rest_v == pytest.approx(12.4, abs=0.05)


def test_watts_that_still_hold_are_the_most_that_do() -> None:
    run = run_of(plain(60.0, 5.0, 30.0))
    chain = chain_at(run)
    assert 0 < chain.holding_w < 100
    radio_a = 2 + 1.8 * chain.holding_w**0.5
    assert HALF_FULL_LFP_V - 0.095 * radio_a == pytest.approx(11.7, abs=1e-6)
    assert chain.holds is False


def test_a_plan_that_never_sends_is_asked_about_all_the_station_can_give() -> None:
    silent = plain(20.0, 5.0, 10.0).model_copy(update={"plan": ()})
    chain = chain_at(run_of(silent))
    assert not chain.is_planned
    assert chain.rf_w == 100.0
    assert 0 < chain.full_power_end.fraction < 0.1


def test_the_chain_agrees_with_the_run_in_every_minute_of_the_net() -> None:
    run = run_of(scenario())
    steps = np.flatnonzero(run.inputs.loads.send_row >= 0)
    for step in steps[:: len(steps) // 7]:
        assert chain_at(run, int(step)).at_set_v("radio")[1] == pytest.approx(
            run.abilities.peak_v[step], abs=1e-9
        )


def test_links_add_up_to_the_resistance_the_run_takes() -> None:
    run = run_of(scenario())
    links = chain_at(run).links
    radio = sum(link.resistance_mohm for link in links if link.branch == "radio")
    assert radio / 1000 == pytest.approx(run.inputs.bounds.radio_lead_ohm)


def ridge(size_mm2: float, length_m: float) -> Scenario:
    given = read_scenario(SCENARIOS / "ridge-weekend.toml")
    for field, value in (("fuse_a", None), ("size_mm2", size_mm2), ("one_way_m", length_m)):
        given = with_value(given, f"stations.1.leads.1.{field}", value)
    return given


def test_a_long_thin_lead_costs_hours_of_full_power_and_hardly_any_receive() -> None:
    # At 100 W the radio takes 20.50 A, the battery gives 20.54 A. 39.06 mohm of cold cells and
    # battery lead and 41.55 mohm of 3 m of 2.5 mm² lose 1.654 V, so 11.5 V at the radio need
    # 13.154 V at rest: 36.1 % of 13.5 Ah. Of that 7.1 % is unavailable in the cold. The 1.236 A of
    # the watch are 1.83 times the 20-hour current; cells of 4 °C, with an exponent of 0.024, count
    # them as 1.83^0.024 = 1.015 times as much, so that the 3.92 Ah between last 3.12 h.
    good, thin = run_of(ridge(6.0, 1.0), 1).clocks, run_of(ridge(2.5, 3.0), 1).clocks
    assert good.full_power.hours is not None
    assert thin.full_power.hours is not None
    assert good.full_power.hours - thin.full_power.hours == pytest.approx(3.12, abs=0.03)
    assert thin.receive.hours == pytest.approx(good.receive.hours, abs=0.25)
    assert thin.full_power.cause == "sag"


def test_cures_hold_what_they_promise() -> None:
    run = run_of(ridge(2.5, 3.0), 1)
    cures = lead_cures(run)
    assert [cure.gained_h for cure in cures] == sorted(
        (cure.gained_h for cure in cures), reverse=True
    )
    assert {cure.edit[0] for cure in cures} >= {"leads.1.size_mm2", "leads.1.one_way_m"}
    for cure in cures:
        path, value = cure.edit
        mended = run_of(with_value(ridge(2.5, 3.0), f"stations.1.{path}", value), 1)
        assert full_power_h(mended) - full_power_h(run) == pytest.approx(cure.gained_h)
        assert cure.sentence.endswith(".")


def test_the_shortest_change_is_the_least_that_reaches_the_reserve() -> None:
    run = run_of(ridge(2.5, 3.0), 1)
    cure = next(c for c in lead_cures(run) if c.edit[0] == "leads.1.one_way_m")
    assert cure.to_fraction <= run.station.reserve_fraction
    longer = run_of(ridge(2.5, cure.edit[1] + 0.2), 1)
    step = int(np.flatnonzero(~run.abilities.full_power)[0])
    assert full_power_end(longer, step).fraction > run.station.reserve_fraction


def test_bad_joints_are_cured_at_the_joints() -> None:
    given = with_value(ridge(6.0, 1.0), "stations.1.leads.1.joints_mohm", 60.0)
    best = lead_cures(run_of(given, 1))[0]
    assert best.edit == ("leads.1.joints_mohm", 2.0)


def test_leads_that_lose_nothing_need_no_cure() -> None:
    assert lead_cures(run_of(plain(20.0, 0.0, 0.0))) == ()


def test_two_loads_give_the_resistance_between() -> None:
    measured = resistance_of(LoadReading(13.00, 1.0), LoadReading(12.30, 11.0))
    assert measured.resistance_ohm == pytest.approx(0.070)
    assert measured.rest_v == pytest.approx(13.07)


@pytest.mark.parametrize(
    ("light", "heavy", "words"),
    [
        (LoadReading(13.0, 1.0), LoadReading(12.9, 1.2), "at least 0.5\N{NO-BREAK SPACE}A more"),
        (LoadReading(12.9, 1.0), LoadReading(13.0, 10.0), "rose"),
    ],
)
def test_loads_that_tell_nothing_are_refused(
    light: LoadReading, heavy: LoadReading, words: str
) -> None:
    with pytest.raises(ValueError, match=words):
        resistance_of(light, heavy)


def test_a_measurement_at_the_radio_finds_the_bad_joint() -> None:
    chain = chain_at(run_of(plain(20.0, 5.0, 83.0)))
    (receive_v, key_down_v), believed = chain.at_set_v("radio"), plain(20.0, 5.0, 2.0)
    measured = resistance_of(LoadReading(receive_v, 1.0), LoadReading(key_down_v, 20.0))
    assert measured.resistance_ohm == pytest.approx(0.108)
    fresh = chain_at(run_of(believed))
    battery = believed.stations[0].battery
    assert surplus_mohm(measured, fresh, battery) == pytest.approx(81.0)
    assert joints_that_explain(measured, fresh, battery) == (1, pytest.approx(83.0))


def test_a_measurement_indoors_is_held_against_the_battery_at_25_c() -> None:
    cold = plain(20.0, 5.0, 10.0).model_copy(
        update={"day": scenario(day={"low_c": -10.0, "high_c": -10.0}).day}
    )
    chain, battery = chain_at(run_of(cold)), cold.stations[0].battery
    assert chain.links[0].resistance_mohm > 35.0
    measured = resistance_of(LoadReading(13.0, 1.0), LoadReading(13.0 - 0.035 * 10, 11.0))
    assert surplus_mohm(measured, chain, battery) == pytest.approx(0.0, abs=1e-9)
    assert battery_ohm_that_explains(measured, battery) == pytest.approx(0.035)
