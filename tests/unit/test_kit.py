"""What the kit page derives: budget, sun, readings, weak points, the mark of the input."""

from __future__ import annotations

import re
from datetime import date
from itertools import pairwise

import numpy as np
import pytest

from model.advice.advice import rerun, under_sky
from model.advice.battery_autonomy import battery_alone
from model.advice.low_battery import hours_from
from model.advice.single_points import weak_points
from model.editing.paths import with_value
from model.engine.comparison import simulate
from model.engine.now import comparison_from_now, from_now
from model.export.fingerprint import fingerprint
from model.export.kit_page import kit_of, page_odds
from model.odds.odds import odds
from model.results.budget import night_mask, power_budget
from model.results.expected_readings import doubt_band, readings, spread_of
from model.results.solar_yield import harvest
from model.results.voltage_drop import chain_at_charge
from model.scenario.scenario import FORMAT, Scenario
from model.support.cache import bytes_of
from model.verdict.pass_fail import grade
from model.verdict.sentences import end_words
from tests.plain import plain
from tests.unit.scenario_maker import (
    AMPLIFIER,
    BATTERY,
    NET,
    PANEL,
    RADIO,
    SMALL_RADIO,
    WATCH,
    changed,
    scenario,
)  # fmt: skip


def three(question: Scenario):
    skies = (question, under_sky(question, "clear"), under_sky(question, "overcast"))
    return tuple(rerun(sky, 0) for sky in skies)


def sun(question: Scenario):
    return harvest(*three(question))


def test_budget_sums_to_the_run():
    run = rerun(scenario(day={"days": 2}), 0)
    budget = power_budget(run)
    assert budget.mean_ah == pytest.approx(run.sums.load_ah / 2)
    assert sum(line.mean_ah for line in budget.lines) == pytest.approx(budget.mean_ah)
    assert sum(line.share for line in budget.lines) == pytest.approx(1.0)
    assert budget.night_ah + budget.day_ah == pytest.approx(budget.mean_ah)
    drawn = [line.mean_ah for line in budget.lines]
    assert drawn == sorted(drawn, reverse=True)


def test_night_is_the_sun_below_civil_twilight():
    # 46 N on 10 June: civil twilight lasts from about 04:50 to 21:40 summer time there, sunrise
    # and sunset plus 36 minutes each; the night is about 7 h (from memory of almanac tables).
    run = rerun(scenario(), 0)
    assert night_mask(run).sum() / 60 == pytest.approx(7.2, abs=0.6)


def test_no_night_and_no_day():
    june = rerun(scenario(site={"latitude_deg": 70.0}), 0)
    assert not night_mask(june).any()
    assert power_budget(june).night_ah == 0.0
    december = rerun(scenario(site={"latitude_deg": 85.0}, day={"date": date(2027, 12, 20)}), 0)
    assert night_mask(december).all()
    assert power_budget(december).day_ah == pytest.approx(0.0)


def test_usable_charge_goes_down_to_the_reserve():
    question = scenario(day={"low_c": 25.0, "high_c": 25.0})
    alone = battery_alone(question, 0, rerun(question, 0))
    assert alone.usable_ah == pytest.approx(0.8 * 20.0)
    # Four LFP cells rest at about 3.3 V over most of their charge (cell makers' curves).
    assert alone.usable_wh / alone.usable_ah == pytest.approx(13.2, abs=0.15)
    assert alone.planned_h == rerun(question, 0).hours_on_battery


def test_break_even_sun_balances_what_is_drawn():
    # A lossless station: 1 A for 24 h at about 13.3 V is 320 Wh; a 100 W panel without losses
    # gives 100 Wh in an hour of full sun, less heat.
    question = scenario(
        station={
            "radio": {**RADIO, "receive_a": 1.0},
            "battery": {**BATTERY, "capacity_ah": 200.0, "resistance_ohm": 0.0},
            "panel": {"rated_w": 100.0, "power_per_c": 0.0, "mount": "flat"},
            "controller": {"kind": "mppt"},
            "leads": (),
        },
        plan=({"start": "00:00", "end": "24:00", "activity": "watch"},),
    )
    found = sun(question)
    # The incidence loss of flat glass leaves about 94 % of the light on it.
    assert found.needed_sun_h == pytest.approx(13.3 * 24 / 100 / 0.94, rel=0.06)
    assert found.needed_sun_h < found.clear_sun_h
    assert found.bad_sun_h < 0.5 * found.clear_sun_h
    # Clear days in June at 46 N bring 7 to 8.5 kWh/m² on the level (solar atlases).
    assert 7.0 < found.clear_sun_h < 8.7


def test_no_panel_no_harvest():
    assert sun(scenario(station={"panel": None, "controller": None})) is None


def test_in_polar_night_no_sun_is_enough():
    dark = scenario(
        site={"latitude_deg": 80.0}, day={"date": date(2027, 12, 20)},
        station={"panel": {**PANEL, "mount": "re-aimed"}},
    )  # fmt: skip
    found = sun(dark)
    assert found.needed_sun_h is None
    assert found.clear_sun_h == 0.0
    assert found.aims == ()


def test_a_re_aimed_panel_follows_the_sun():
    question = scenario(station={"panel": {**PANEL, "mount": "re-aimed", "re_aim_hours": 3.0}})
    aims = sun(question).aims
    bearings = [aim.azimuth_deg for aim in aims]
    assert bearings == sorted(bearings)
    assert bearings[0] < 90 < 180 < bearings[-1]
    gaps_h = {(b.at - a.at).total_seconds() / 3600 for a, b in pairwise(aims)}
    assert all(gap == pytest.approx(3.0, abs=0.02) for gap in gaps_h)
    # At noon in June at 46 N the sun stands 67 degrees high: 90 - 46 + 23.
    assert min(aim.tilt_deg for aim in aims) == pytest.approx(23, abs=7)


def test_charging_waits_for_warm_cells():
    frosty = scenario(
        station={"battery": {**BATTERY, "kept": "open"}}, day={"low_c": -10.0, "high_c": 10.0}
    )
    run, found = rerun(frosty, 0), sun(frosty)
    assert not found.never_charges
    (at,) = found.charge_from
    step = round((at - run.clock.start).total_seconds() / 60)
    assert run.inputs.climate.cell_c[step] >= 0.0 > run.inputs.climate.cell_c[step - 1]
    assert sun(scenario(day={"low_c": -20.0, "high_c": -10.0})).never_charges


def by_name(question: Scenario):
    run, clear, _ = three(question)
    return {reading.what: reading for reading in readings(run, clear)}


def test_readings_come_from_the_parts_and_the_run():
    question = scenario()
    found, run = by_name(question), rerun(question, 0)
    assert found["Radio alone"].expected == 0.75
    # 6.3 and 14.5 A at 5 and 50 W, 19.5 at 100: the square-root law gives about 14.5 at 50 W.
    assert found["Key down 50\N{NO-BREAK SPACE}W"].expected == pytest.approx(14.5, abs=0.4)
    # The band of the volts runs from nearly empty to nearly full, at 50 W and without sun.
    volts = [chain_at_charge(run, charge).at_set_v("radio")[1] for charge in (0.3, 0.98)]
    assert [found["Voltage at the radio"].low, found["Voltage at the radio"].high] == volts
    assert all(each.low <= each.expected <= each.high for each in found.values())
    watch_a = 0.75 + 0.015
    assert found["Whole station"].expected == pytest.approx(watch_a)


def test_the_amplifier_counts_in_the_key_down_reading():
    boosted = scenario(station={"radio": SMALL_RADIO, "amplifier": AMPLIFIER})
    # The amplifier draws 10.3 A at 50 W, the radio that drives it with 5 W 1.69 A.
    assert by_name(boosted)["Key down 50\N{NO-BREAK SPACE}W"].expected == pytest.approx(
        10.3 + 1.69, abs=0.1
    )


def test_bands_follow_the_source_of_the_number():
    radio = scenario().stations[0].radio
    assert spread_of(radio, "receive_a") == 0.2
    for source, spread in (
        ({"from": "measured"}, 0.05), ({"from": "measured", "spread": 0.02}, 0.02),
        ({"from": "datasheet"}, 0.2),
    ):  # fmt: skip
        known = changed(scenario(), radio__sources={"receive_a": source}).stations[0].radio
        assert spread_of(known, "receive_a") == spread


def test_nothing_sent_nothing_to_read_while_sending():
    found = by_name(scenario(plan=(WATCH,)))
    assert not any(name.startswith(("Key down", "Voltage at")) for name in found)


def test_volts_of_lfp_tell_less_than_those_of_lead():
    lfp = doubt_band(scenario().stations[0].battery)
    lead = doubt_band(
        scenario(station={"battery": {**BATTERY, "chemistry": "AGM"}}).stations[0].battery
    )
    # LFP rests at 13.1 to 13.3 V from a third to two thirds of its charge (cell makers' curves).
    assert lfp.low_fraction < 0.35
    assert lfp.high_fraction > 0.65
    assert lead.high_fraction - lead.low_fraction < 0.75 * (lfp.high_fraction - lfp.low_fraction)


def test_charge_points_stand_at_every_dusk_midnight_and_dawn():
    question = scenario(day={"start_hour": 8.0, "days": 3})
    results = kit_of(simulate(question), 0).results
    points = results.charge_points
    assert [point.moment for point in points] == [
        "start", *["dusk", "midnight", "dawn"] * 3, "end",
    ]  # fmt: skip
    run = results.run
    for point in points:
        step = round((point.at - run.clock.start).total_seconds() / 60)
        assert point.used_ah == pytest.approx((1 - run.fraction[step]) * 20.0)
        assert point.low_ah <= point.used_ah <= point.high_ah
    # Trial trips part more the longer nothing has filled the battery up.
    first, *_, last = points
    assert last.high_ah - last.low_ah > first.high_ah - first.low_ah


def test_weak_points_of_a_small_kit():
    boosted = scenario(
        station={
            "radio": SMALL_RADIO, "amplifier": AMPLIFIER,
            "laptop": {"power_w": 8.0}, "antenna": {},
        },
        plan=(WATCH, NET, {"start": "21:00", "end": "22:00", "activity": "arq"}),
    )  # fmt: skip
    found = {point.part: point for point in weak_points(rerun(boosted, 0))}
    # 5 W for 50 W is 10 dB.
    assert found["Amplifier"].loss_db == pytest.approx(10.0)
    assert found["Panel or its controller"].hours_left_h == rerun(boosted, 0).hours_on_battery
    assert found["Computer"].ends == "all data traffic"
    assert found["Battery"].ends == "everything"
    assert "30 A" in plain(found["A fuse"].then)


def test_one_of_two_batteries_is_rerun_without_it():
    two = scenario(station={"battery": {**BATTERY, "capacity_ah": 7.0, "count": 2}})
    (found,) = (p for p in weak_points(rerun(two, 0)) if p.part == "One of 2 batteries")
    one = rerun(changed(two, battery__count=1), 0)
    assert found.then == end_words(one)


def test_every_change_changes_the_mark():
    question = scenario()
    marks = {fingerprint(question)}
    for path, value in (
        ("stations.0.radio.receive_a", 0.76), ("title", "another"), ("site.albedo", 0.3),
        ("day.days", 2), ("plan.0.end", "19:00"),
    ):  # fmt: skip
        marks.add(fingerprint(with_value(question, path, value)))
    assert len(marks) == 6
    assert fingerprint(scenario()) == fingerprint(question)
    assert all(re.fullmatch(rf"{FORMAT}-[0-9a-f]{{8}}", mark) for mark in marks)


def test_kit_gathers_and_tells_when_the_test_is_due():
    question = changed(
        scenario(),
        battery__sources={"tested_fraction": {"from": "measured", "on": date(2027, 3, 1)}},
    )
    kit = kit_of(simulate(question), 0)
    assert kit.test_due == date(2028, 2, 29)
    assert kit.results.run is simulate(question).runs[0] or np.array_equal(
        kit.results.run.fraction, simulate(question).runs[0].fraction
    )
    assert kit_of(simulate(scenario()), 0).test_due is None


def test_runs_under_other_skies_are_not_kept_whole():
    results = kit_of(simulate(scenario()), 0).results
    whole = bytes_of(results.run)
    planned, _, overcast = three(scenario())
    for sky, run in ((results.planned, planned), (results.bad, overcast)):
        assert bytes_of(sky) < whole / 10
        assert np.array_equal(sky.fraction, run.fraction)
        assert sky.clocks == run.clocks
        assert sky.lowest_fraction == run.lowest.value
        assert sky.reserve_crossed_at == run.reserve_crossed_at


def test_a_kit_that_cannot_run_keeps_what_needs_no_run():
    impossible = {**NET, "activity": "slots", "transmit_share": 0.9}
    kit = kit_of(simulate(scenario(plan=(impossible,))), 0)
    assert kit.results is None
    assert kit.carried
    assert kit.findings[0].level == "error"


@pytest.mark.parametrize(("capacity_ah", "outcome"), [(1.0, "fail"), (200.0, "pass, unmeasured")])
def test_grade(capacity_ah, outcome):
    question = scenario(station={"battery": {**BATTERY, "capacity_ah": capacity_ah}})
    assert grade(rerun(question, 0)).outcome == outcome


def test_a_panel_without_a_controller_is_no_source_to_lose():
    tied = scenario(station={"controller": None, "panel": PANEL})
    assert not [point for point in weak_points(rerun(tied, 0)) if "anel" in point.part]


def test_no_panel_reading_while_the_cells_are_too_cold_to_charge():
    assert any(name.startswith("Panel") for name in by_name(scenario()))
    frozen = scenario(day={"low_c": -20.0, "high_c": -10.0})
    assert not any(name.startswith("Panel") for name in by_name(frozen))


def test_coarser_trial_trips_tell_the_same():
    comparison = simulate(scenario(day={"days": 2, "start_hour": 8.0}))
    fine = odds(comparison.scenario, 200, basis="forecast")
    coarse = page_odds(comparison)
    for one, other in zip(fine.stations, coarse.forecast.stations, strict=True):
        assert other.receive.value == pytest.approx(one.receive.value, abs=0.03)
        for name in ("low_fraction", "middle_fraction", "high_fraction"):
            again = np.interp(fine.time_h, coarse.forecast.time_h, getattr(other, name))
            # A net of an hour draws a tenth of the charge: half a coarse step of that.
            assert np.abs(again - getattr(one, name)).max() < 0.03


def test_from_a_reading_on_the_page_says_what_can_be_done_now():
    question = scenario(day={"days": 2, "start_hour": 8.0})
    planned = simulate(question)
    at = planned.clock.at(13 * 60)
    results = kit_of(comparison_from_now(planned, 0, at, 3.2), 0).results
    assert [(each.words, each.at) for each in results.low.noticed] == [("now", at)]
    assert results.low.left_ah == pytest.approx(3.2)
    assert results.low.no_change.ends[0].hours == hours_from(question, 0, at, 3.2)
    # Trial trips know nothing of a reading, and what was before it is past.
    assert results.odds == ()
    assert all(point.at >= at for point in results.charge_points)
    run = from_now(question, 0, at, 3.2)
    last = results.charge_points[-1]
    assert last.used_ah == last.low_ah == last.high_ah
    assert last.used_ah == pytest.approx((1 - run.fraction[-1]) * 20.0)
