"""Runs of ideal kits against sums a person can do on paper."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import numpy as np
import pytest

from model.engine.comparison import simulate
from model.engine.run import StationRun
from model.scenario.scenario import Scenario
from model.scenario.station import Battery
from model.station.chemistry import label_wh

WATCH = {"start": "00:00", "end": "24:00", "activity": "watch"}
STEP_H = 1 / 60


def run(
    *,
    radio: dict[str, Any] | None = None,
    battery: dict[str, Any] | None = None,
    station: dict[str, Any] | None = None,
    plan: list[dict[str, Any]] | None = None,
    day: dict[str, Any] | None = None,
) -> StationRun:
    """Run an ideal station: 1.0 A in receive on 10 Ah, no resistance, no loss, 25 °C, no panel."""
    scenario = Scenario.model_validate(
        {
            "site": {"latitude_deg": 45.0, "longitude_deg": 10.0},
            "day": {"date": date(2027, 6, 1), **(day or {})},
            "plan": [WATCH] if plan is None else plan,
            "stations": [
                {
                    "name": "ideal",
                    "radio": {"receive_a": 1.0, **(radio or {})},
                    "battery": {"chemistry": "LFP", "capacity_ah": 10.0, **(battery or {})},
                    **(station or {}),
                }
            ],
        }
    )
    (only,) = simulate(scenario).runs
    assert only is not None
    return only


def test_one_ampere_on_ten_ampere_hours_receives_for_ten_hours() -> None:
    clock = run().clocks.receive
    assert clock.hours == pytest.approx(10.0, abs=STEP_H)
    assert clock.cause == "empty"
    assert clock.drain == "receive"


def test_two_batteries_in_parallel_last_twice_as_long() -> None:
    assert run(battery={"count": 2}).clocks.receive.hours == pytest.approx(20.0, abs=STEP_H)


def test_tested_capacity_scales_the_hours() -> None:
    ended = run(battery={"tested_fraction": 0.85}).clocks.receive.hours
    assert ended == pytest.approx(8.5, abs=STEP_H)


def test_charge_at_the_start_scales_the_hours() -> None:
    assert run(station={"start_fraction": 0.6}).clocks.receive.hours == pytest.approx(
        6.0, abs=STEP_H
    )


def test_reserve_is_crossed_when_only_it_is_left_and_switches_nothing() -> None:
    ideal = run(station={"reserve_fraction": 0.25})
    # 7.5 Ah of 10 at 1 A; the charge is below the reserve one step later.
    assert ideal.reserve_crossed_at is not None
    crossed = (ideal.reserve_crossed_at - ideal.clock.start) / timedelta(hours=1)
    assert crossed == pytest.approx(7.5, abs=1.5 * STEP_H)
    assert ideal.clocks.receive.hours == pytest.approx(10.0, abs=STEP_H)


def test_a_shared_watch_draws_the_mean_of_receive_and_off() -> None:
    plan = [{**WATCH, "listen_share": 0.25}]
    # 0.25 x 1.0 + 0.75 x 0.2 = 0.4 A.
    ended = run(radio={"off_a": 0.2}, plan=plan, day={"days": 2}).clocks.receive.hours
    assert ended == pytest.approx(25.0, abs=STEP_H)


def test_fm_draws_its_key_down_current_for_its_share() -> None:
    # I = 2 + 0.8 sqrt(P): 6 A at 25 W. 0.3 x 6 + 0.7 x 1 = 2.5 A.
    plan = [{**WATCH, "activity": "fm", "rf_w": 25.0, "transmit_share": 0.3}]
    radio = {"key_down": [[0.0, 2.0], [100.0, 10.0]]}
    assert run(radio=radio, plan=plan).clocks.receive.hours == pytest.approx(4.0, abs=STEP_H)


@pytest.mark.parametrize(
    ("activity", "processed", "factor"),
    [("voice", False, 0.35), ("voice", True, 0.55), ("morse", False, 0.44), ("slots", False, 1.0)],
)
def test_the_current_factor_applies_to_what_follows_the_envelope(
    activity: str, processed: bool, factor: float
) -> None:
    block = {
        **WATCH,
        "activity": activity,
        "processed": processed,
        "rf_w": 100.0,
        "transmit_share": 0.4,
        "listen_share": 0.0,
    }
    ideal = run(
        radio={"key_down": [[0.0, 2.5], [100.0, 19.5]]},
        plan=[block],
        battery={"capacity_ah": 1000.0},
    )
    assert ideal.sums.by_use_ah["transmit"] == pytest.approx(24 * 0.4 * (2.5 + factor * 17.0))


def test_a_tenth_of_an_ampere_lasts_a_hundred_hours_over_five_days() -> None:
    ideal = run(radio={"receive_a": 0.1}, day={"days": 5})
    assert ideal.clocks.receive.hours == pytest.approx(100.0, abs=STEP_H)
    assert ideal.clocks.receive.until is not None
    assert f"{ideal.clocks.receive.until:%d %H:%M}" == "05 04:00"


def test_a_plan_of_half_days_ends_on_the_fourth() -> None:
    plan = [{"start": "06:00", "end": "18:00", "activity": "watch"}]
    # 0.25 A x 12 h = 3 Ah a day: 9 Ah in three days, the tenth takes 4 h from 06:00 on day 4.
    ideal = run(radio={"receive_a": 0.25}, plan=plan, day={"days": 5})
    assert ideal.clocks.receive.hours == pytest.approx(3 * 24 + 10, abs=STEP_H)


def test_a_charger_that_gives_back_what_a_day_takes_holds_for_ever() -> None:
    charger = {"chargers": [{"current_a": 5.0, "hours": [["12:00", "13:12"]]}]}
    # 0.25 A x 24 h = 6 Ah a day against 5 A x 1.2 h = 6 Ah.
    ideal = run(radio={"receive_a": 0.25}, station=charger, day={"days": 7, "start_hour": 0.0})
    assert ideal.clocks.receive.until is None
    assert ideal.end_fraction == pytest.approx(1 - 0.25 * 10.8 / 10, abs=1e-9)


def test_loss_in_charging_drains_a_day_by_day() -> None:
    hours = [["00:00", "03:00"]]
    charger = {"start_fraction": 0.5, "chargers": [{"current_a": 4.0, "hours": hours}]}
    # In three hours 4 A less 0.25 A of load come in, at 0.8; then 21 h of 0.25 A go out.
    ideal = run(
        radio={"receive_a": 0.25},
        battery={"charge_efficiency": 0.8, "capacity_ah": 60.0},
        station=charger,
        day={"days": 3},
    )
    daily_ah = 3 * 3.75 * 0.8 - 21 * 0.25
    assert ideal.end_fraction == pytest.approx(0.5 + 3 * daily_ah / 60, abs=1e-9)


def test_cold_holds_back_its_share() -> None:
    # LFP at -20 °C gives 0.68 of its 10 Ah; 1 A, twice the 20-hour current, takes 2^0.04 of it.
    ideal = run(day={"low_c": -20.0, "high_c": -20.0})
    assert ideal.clocks.receive.hours == pytest.approx(6.8 / 2**0.04, abs=STEP_H)
    assert ideal.lowest.value == pytest.approx(0.32, abs=0.002)


def test_constant_power_lasts_as_long_as_the_energy_under_the_rest_volts() -> None:
    extra = {"extras": [{"power_w": 13.0}]}
    ideal = run(radio={"receive_a": 0.0}, station=extra)
    charge, volts = zip(
        (0.0, 2.010),
        (0.01, 2.702),
        (0.02, 2.864),
        (0.05, 3.072),
        (0.10, 3.203),
        (0.15, 3.216),
        (0.20, 3.241),
        (0.30, 3.278),
        (0.40, 3.295),
        (0.50, 3.299),
        (0.60, 3.303),
        (0.70, 3.316),
        (0.80, 3.337),
        (0.90, 3.341),
        (0.95, 3.343),
        (0.98, 3.348),
        (0.99, 3.370),
        (1.0, 3.598),
        strict=True,
    )
    energy_wh = 10.0 * 4 * float(np.trapezoid(volts, charge))
    assert ideal.clocks.receive.hours == pytest.approx(energy_wh / 13.0, abs=1.5 * STEP_H)


def test_resistance_brings_the_cut_off_forward_on_the_rest_curve() -> None:
    ideal = run(battery={"resistance_ohm": 0.1, "cutoff_v": 12.964})
    # Rest volts 12.964 + 1 A x 0.1 ohm = 13.064 = 4 x 3.266, between 0.2 (3.241) and 0.3 (3.278).
    fraction = 0.2 + 0.1 * (3.266 - 3.241) / (3.278 - 3.241)
    clock = ideal.clocks.receive
    assert clock.hours == pytest.approx(10 * (1 - fraction), abs=1.5 * STEP_H)
    assert clock.cause == "cutoff"


def test_full_power_ends_where_ohms_law_says_and_receive_does_not() -> None:
    radio = {"key_down": [[0.0, 0.0], [100.0, 20.0]], "supply_min_v": 11.8}
    leads = {"leads": [{"for": "radio", "size_mm2": 2.5, "one_way_m": 0.0, "joints_mohm": 60.0}]}
    plan = [
        {"start": "12:00", "end": "12:10", "activity": "fm", "rf_w": 100.0, "transmit_share": 0.1},
        {"start": "12:10", "end": "12:00", "activity": "watch"},
    ]
    ideal = run(radio=radio, station=leads, plan=plan)
    # 20 A x 60 mohm = 1.2 V: full power needs 13.0 V at rest, 3.25 V a cell.
    fraction = 0.2 + 0.1 * (3.25 - 3.241) / (3.278 - 3.241)
    assert ideal.clocks.full_power.hours == pytest.approx(10 * (1 - fraction), abs=2 * STEP_H)
    assert ideal.clocks.full_power.cause == "sag"
    assert ideal.clocks.receive.hours == pytest.approx(10.0, abs=0.1)


def test_without_resistance_the_three_clocks_fall_together() -> None:
    plan = [{**WATCH, "activity": "fm", "rf_w": 25.0, "transmit_share": 0.1}]
    radio = {"key_down": [[0.0, 2.0], [100.0, 10.0]], "rf_min_w": 1.0}
    clocks = run(radio=radio, plan=plan).clocks
    assert clocks.full_power.hours == clocks.reduced_power.hours == clocks.receive.hours


def test_lead_loses_to_rate_by_peukerts_law() -> None:
    # Flooded, exponent 1.25, 100 Ah at 20 h: t = 20 (5 / 10)^1.25 = 8.409 h.
    ideal = run(radio={"receive_a": 10.0}, battery={"chemistry": "flooded", "capacity_ah": 100.0})
    assert ideal.clocks.receive.hours == pytest.approx(20 * 0.5**1.25, abs=STEP_H)
    slow = run(radio={"receive_a": 5.0}, battery={"chemistry": "flooded", "capacity_ah": 100.0})
    assert slow.clocks.receive.hours == pytest.approx(20.0, abs=STEP_H)
    assert slow.sums.losses_wh.rate == 0


def test_the_computers_own_battery_is_used_first() -> None:
    laptop = {"laptop": {"power_w": 10.0, "own_battery_wh": 50.0, "converter_efficiency": 0.8}}
    ideal = run(radio={"receive_a": 0.0}, station=laptop, battery={"capacity_ah": 100.0})
    supply_w = ideal.flow.laptop_supply_w
    assert supply_w[: 5 * 60].max() == pytest.approx(0.0, abs=1e-9)
    assert supply_w[5 * 60 :].min() == pytest.approx(12.5, rel=1e-9)


def test_each_transmit_block_tunes_once() -> None:
    blocks = [
        {
            "start": f"{hour:02d}:00",
            "end": f"{hour:02d}:10",
            "activity": "fm",
            "rf_w": 5.0,
            "transmit_share": 0.1,
        }
        for hour in (3, 9, 15)
    ]
    tuner = {"tuner": {"tuning_a": 0.5, "tuning_s": 90.0, "idle_a": 0.1}}
    ideal = run(radio={"key_down": [[0.0, 0.1], [100.0, 1.0]]}, station=tuner, plan=blocks)
    # 24 h idle at 0.1 A, and three times 90 s at 0.4 A more.
    assert ideal.sums.by_use_ah["tuner"] == pytest.approx(2.4 + 3 * 0.4 * 90 / 3600)


def test_an_amplifier_idles_by_its_two_settings() -> None:
    amplifier = {
        "amplifier": {
            "key_down": [[0.0, 1.0], [100.0, 19.0]],
            "standby_a": 0.1,
            "operate_a": 0.5,
            "in_session": "operate",
            "out_of_session": "standby",
        }
    }
    plan = [
        {"start": "00:00", "end": "02:00", "activity": "fm", "rf_w": 100.0, "transmit_share": 0.25},
        {"start": "02:00", "end": "24:00", "activity": "watch"},
    ]
    ideal = run(
        radio={"key_down": [[0.0, 0.5], [10.0, 2.5]]},
        battery={"capacity_ah": 1000.0},
        station=amplifier,
        plan=plan,
    )
    assert ideal.sums.by_use_ah["amplifier_idle"] == pytest.approx(2 * 0.75 * 0.5 + 22 * 0.1)
    # The radio drives with 10 W: 2.5 A; the amplifier draws 19 A.
    assert ideal.sums.by_use_ah["transmit"] == pytest.approx(2 * 0.25 * 21.5)


def test_the_return_waits_for_one_per_cent_and_its_rest_volts() -> None:
    charger = {"chargers": [{"current_a": 2.0, "hours": [["11:00", "12:00"]]}]}
    ideal = run(station=charger, battery={"reconnect_v": 10.0})
    # Empty at 10:00; from 11:00 nothing is drawn, so 2 A put in 0.1 Ah, 1 %, by 11:03.
    clock = ideal.clocks.receive
    assert clock.hours == pytest.approx(10.0, abs=STEP_H)
    assert clock.back_at is not None
    assert f"{clock.back_at:%H:%M}" == "11:03"


def test_a_nominal_fifteen_ampere_hours_of_four_lfp_cells_is_labelled_192_wh() -> None:
    assert label_wh(Battery(chemistry="LFP", capacity_ah=15.0)) == pytest.approx(192.0)
