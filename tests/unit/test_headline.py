"""The headline on made cases of each kind: true against the run, and short."""

from __future__ import annotations

import re
from datetime import date, timedelta
from typing import Any

import numpy as np
import pytest
import tomli_w

from model.editing.paths import with_value
from model.engine.comparison import Comparison, simulate
from model.engine.outcome import USES
from model.files.scenario_file import parse_scenario
from model.findings.rules import find_without_variants
from model.scenario.scenario import Scenario
from model.sky.sun_times import night_spans
from model.support.figures import DAY_NAMES, NBSP, day_and_time, told
from model.verdict.hazards import worst_hazard
from model.verdict.headline import WORDS_LIMIT, Headline, headline
from model.verdict.order import is_guessed
from model.verdict.stretches import lasting_return, step_at
from tests.unit.made_kits import made_kit
from tests.unit.scenario_maker import (
    BATTERY,
    CONTROLLER,
    NET,
    RADIO,
    RADIO_LEAD,
    SMALL_RADIO,
    WATCH,
    scenario,
)

LISTEN = {"start": "00:00", "end": "24:00", "activity": "watch"}
BARE = {"panel": None, "controller": None, "leads": ()}


def beside(*stations: dict[str, Any], **more: Any) -> Scenario:
    each = [scenario(station=BARE | station, **more) for station in stations]
    joined = tuple(one.stations[0] for one in each)
    return each[0].model_copy(update={"stations": joined})


def told_of(*stations: dict[str, Any], **more: Any) -> tuple[Headline, Comparison]:
    comparison = simulate(beside(*stations, **more))
    found = headline(comparison)
    assert len(found.text.split()) <= WORDS_LIMIT
    return found, comparison


def kit(ah: float = 20.0, **more: Any) -> dict[str, Any]:
    return {"battery": BATTERY | {"capacity_ah": ah}} | more


def time_of(comparison: Comparison, index: int, name: str = "receive", part: str = "until") -> str:
    run = comparison.runs[index]
    assert run is not None
    at = getattr(getattr(run.clocks, name), part)
    about = is_guessed(run)
    return ("about " if about else "") + day_and_time(told(at, about=about), run.clock.days)


MEASURED = {"sources": {"receive_a": {"from": "measured"}, "key_down": {"from": "measured"}}}


def measured(**more: Any) -> dict[str, Any]:
    return {"radio": RADIO | MEASURED | more}


def guessed() -> dict[str, Any]:
    own = {"sources": {"receive_a": {"from": "guess", "spread": 0.3}}}
    return {"radio": RADIO | own}


def test_one_ends_and_the_other_lasts():
    found, comparison = told_of(kit(90.0), kit(8.0, **measured()))
    at = time_of(comparison, 1)
    assert found.text == f"B off the air {at}; A lasts."
    assert found.text[slice(*found.emphasis)] == at
    assert (found.kind, found.station) == ("off the air", 1)


def test_one_that_comes_back_says_when_by_the_hour_alone_on_the_same_day():
    sunny = kit(7.0, panel={"rated_w": 60.0, "mount": "flat"}, controller=CONTROLLER)
    sunny |= measured()
    found, comparison = told_of(sunny, plan=(LISTEN,), day={"days": 2, "start_hour": 16.0})
    clock = comparison.runs[0].clocks.receive
    # The first light brings it back for minutes; what is said lasts.
    lasting = lasting_return(comparison.runs[0])
    assert clock.back_at < lasting
    assert clock.until.date() == lasting.date()
    at, back = time_of(comparison, 0), f"{lasting:%H:%M}"
    assert found.text == f"The station is off the air {at}, back {back}."


def test_several_end_in_their_order_and_two_last():
    found, comparison = told_of(kit(90.0), kit(12.0), kit(95.0), kit(6.0))
    first, second = time_of(comparison, 3), time_of(comparison, 1)
    assert found.text in (
        f"D off the air {first}, B {second}; A, C last.",
        f"D off the air {first}, then B; A, C last.",
    )
    assert comparison.runs[3].clocks.receive.until < comparison.runs[1].clocks.receive.until


def test_alike_kits_are_too_close_to_call():
    # A guess of its own, 30 % either way: the few hundredths of an ampere-hour are lost in it.
    found, comparison = told_of(kit(8.1), kit(8.13, **guessed()), kit(90.0))
    assert found.kind == "tie"
    assert found.text == f"Too close to call: A and B, {time_of(comparison, 0)}; C lasts."


def test_a_tie_at_two_times_says_both():
    found, comparison = told_of(kit(8.0, **measured()), kit(8.4, **guessed()))
    first, second = time_of(comparison, 0), time_of(comparison, 1)
    assert first != second
    assert found.text == f"Too close to call: A {first}, B {second}."


def test_none_ends_and_the_nearest_is_named():
    found, comparison = told_of(kit(90.0), kit(40.0))
    run = comparison.runs[1]
    until = day_and_time(run.clock.at(run.clock.steps), run.clock.days)
    assert found.text.startswith(f"Both last to {until}; B nearest, {run.lowest.value * 100:.0f}")
    assert (found.kind, found.station) == ("none", 1)


def test_only_the_reserve_is_crossed():
    found, comparison = told_of(kit(90.0), kit(20.0, reserve_fraction=0.4))
    assert found.kind == "reserve"
    at = comparison.runs[1].reserve_crossed_at
    said = found.text[slice(*found.emphasis)].removeprefix("about ")
    about = is_guessed(comparison.runs[1])
    assert said == day_and_time(told(at, about=about), comparison.clock.days)
    assert f"B below its 40{NBSP}% reserve" in found.text


def test_a_start_below_the_reserve_is_said_as_such():
    found, _ = told_of(kit(400.0, reserve_fraction=0.4, start_fraction=0.3))
    assert f"starts below its 40{NBSP}% reserve" in found.text


def test_unequal_power_is_said_beside_the_letters():
    weak = kit(60.0, radio=SMALL_RADIO | {"rf_max_w": 5.0} | MEASURED)
    found, comparison = told_of(weak, kit(8.0, **measured()))
    at = time_of(comparison, 1)
    # Ten times the power are 10 dB: by definition of the decibel.
    ends = f"B (50{NBSP}W, +10{NBSP}dB) off the air {at}."
    assert found.text == f"A (5{NBSP}W) lasts; {ends}"


def test_unequal_power_where_nobody_ends():
    weak = kit(90.0, radio=SMALL_RADIO | {"rf_max_w": 5.0})
    found, _ = told_of(weak, kit(90.0))
    assert f"A (5{NBSP}W), B (50{NBSP}W, +10{NBSP}dB)" in found.text
    assert found.text.startswith("Both last to ")


def test_receive_only_from_a_time_on():
    # The voltage for transmitting is lost long before the battery is empty.
    high = RADIO | {"supply_min_v": 13.2} | MEASURED
    found, comparison = told_of(kit(60.0), kit(60.0, radio=high))
    clocks = comparison.runs[1].clocks
    assert clocks.receive.until is None
    assert clocks.reduced_power.until is not None
    at = time_of(comparison, 1, "reduced_power")
    assert found.text == f"B can only receive from {at}; A lasts."
    assert found.kind == "receive only"
    assert found.cause.startswith("With the key down ")


def test_reduced_power_only_from_a_time_on():
    lossy = RADIO | {"supply_min_v": 12.6} | MEASURED
    thin = RADIO_LEAD | {"joints_mohm": 25.0}
    found, comparison = told_of(kit(60.0), kit(60.0, radio=lossy, leads=(thin,)))
    clocks = comparison.runs[1].clocks
    assert clocks.reduced_power.until is None
    at = time_of(comparison, 1, "full_power")
    assert found.text == f"B at reduced power from {at}; A lasts."
    assert found.kind == "reduced power"


def test_frost_is_named_where_warm_cells_would_have_lasted():
    frozen = kit(16.0, panel={"rated_w": 200.0, "mount": "flat"}, controller=CONTROLLER)
    cold = {"low_c": -15.0, "high_c": -5.0, "days": 2, "start_hour": 8.0}
    found, comparison = told_of(frozen, plan=(LISTEN,), day=cold)
    assert found.text.startswith("Too cold to charge: the station is off the air ")
    run = comparison.runs[0]
    clock = run.clocks.receive
    assert clock.because == "frost"
    # Cells below 0 °C throughout: every minute of light is charge refused.
    lit_h = np.count_nonzero(run.flow.panel_able_a[: round(clock.hours * 60)] > 0) / 60
    assert float(run.flow.battery_a.min()) >= 0
    said = re.match(
        rf"The cells were too cold to charge for ([\d.]+){NBSP}h with current on offer; [a-z]",
        found.cause,
    )
    assert said is not None, found.cause
    assert float(said[1]) == pytest.approx(lit_h, rel=0.05)
    warm = with_value(comparison.scenario, "stations.0.battery.charge_min_c", -20.0)
    told_warm = headline(simulate(warm))
    assert "Too cold" not in told_warm.text


def test_cold_that_refuses_nothing_is_not_blamed():
    cold = {"low_c": -15.0, "high_c": -5.0}
    found, _ = told_of(kit(8.0), day=cold)
    assert "Too cold" not in found.text


def test_no_sun_is_said_where_there_is_none():
    polar = {"latitude_deg": 85.0, "longitude_deg": 20.0, "timezone": "UTC"}
    dark = kit(8.0, panel={"rated_w": 60.0, "mount": "flat"}, controller=CONTROLLER)
    winter = {"date": date(2027, 12, 21)}
    found, comparison = told_of(dark, site=polar, day=winter)
    assert comparison.runs[0].sums.panel_wh.available == 0.0
    assert found.text.startswith("No sun: the station is off the air ")


def test_a_station_that_is_not_calculated_comes_first():
    lame = kit(20.0, radio=RADIO | {"key_down": (), "rf_max_w": 50.0})
    found, comparison = told_of(kit(90.0), lame)
    assert comparison.runs[1] is None
    assert found.text.startswith("B not calculated: check key-down current. A lasts")
    assert (found.kind, found.station) == ("not calculated", 1)


def test_nothing_calculated_at_all_is_said():
    lame = kit(20.0, radio=RADIO | {"key_down": (), "rf_max_w": 50.0})
    found, _ = told_of(lame)
    assert found.text == "The station is not calculated: check key-down current."
    assert found.cause


def test_a_battery_above_the_radio_outranks_who_ends():
    # Nine cells of lithium iron phosphate, far above what a 12 V radio is rated for.
    over = {"battery": BATTERY | {"cells": 9}}
    found, comparison = told_of(kit(90.0), over)
    assert found.kind == "hazard"
    assert found.text.startswith("Do not connect B: ")
    assert f"radio limit 15.9{NBSP}V" in found.text
    assert found.cause.startswith("B off the air ")
    assert "B" in found.cause
    assert comparison.runs[0] is not None


def test_a_lead_below_its_fuse_outranks_who_ends():
    thin = {"for": "radio", "size_mm2": 0.75, "one_way_m": 1.0, "fuse_a": 40.0}
    found, _ = told_of(kit(90.0), kit(8.0, leads=(thin,)))
    assert found.kind == "hazard"
    assert found.text.startswith(f"Do not connect B: 40{NBSP}A fuse on a ")


def test_a_panel_without_controller_outranks_who_ends():
    found, _ = told_of(kit(8.0, panel={"rated_w": 60.0, "mount": "flat", "vmp_v": 18.0,
                                       "voc_v": 22.0}))  # fmt: skip
    assert found.text == "Do not connect the panel to the battery: no charge controller."
    assert found.cause.startswith("The station ")


def test_a_long_run_names_dates_and_stays_short():
    sun = {"panel": {"rated_w": 30.0, "mount": "flat"}, "controller": CONTROLLER}
    found, _ = told_of(kit(90.0), kit(8.0, **sun), kit(12.0, **sun), day={"days": 9})
    assert re.search(r"\d Jun \d\d:\d\d", found.text)


def test_an_hour_that_the_clock_runs_through_twice_stays_short():
    autumn = {"date": date(2027, 10, 30), "start_hour": 20.0}
    found, comparison = told_of(kit(4.5, **measured()), plan=(LISTEN,), day=autumn)
    assert time_of(comparison, 0) in found.text


@pytest.mark.parametrize("ah", [6.0, 8.0, 12.0])
def test_the_cause_is_the_ledger_of_the_run_to_the_digits_said(ah: float):
    found, comparison = told_of(kit(90.0), kit(ah), plan=(WATCH, NET))
    run = comparison.runs[1]
    clock = run.clocks.receive
    said = re.fullmatch(
        rf"(Since dusk|From the start on|Since it was full, .*,) (.+) took (?:([\d.]+) of|all)"
        rf" ([\d.]+){NBSP}Ah\.",
        found.cause,
    )
    assert said is not None, found.cause
    step = round(clock.hours * 60)
    if said[1] == "Since dusk":
        begin = max(b for b, _ in night_spans(run.site, run.trip) if b < clock.until)
        first = round((begin - run.clock.start) / timedelta(minutes=1))
    else:
        full = np.flatnonzero(run.fraction[:step] >= 0.99)
        first = int(full[-1]) if full.size else 0
    frame = {use: run.flow.use_a[use][first:step].sum() / 60 for use in USES}
    part = said[3] or said[4]
    assert float(part) == pytest.approx(max(frame.values()), rel=0.05)
    assert float(said[4]) == pytest.approx(sum(frame.values()), rel=0.05)


def test_the_night_is_not_named_where_the_day_took_more():
    """Without a panel, listening from the morning on, it is nearly empty at dusk."""
    day = {"date": date(2026, 6, 13), "start_hour": 6.0}
    found, comparison = told_of(kit(90.0), kit(14.0), plan=(LISTEN,), day=day)
    run = comparison.runs[1]
    dusk = next(begin for begin, _ in night_spans(run.site, run.trip) if begin > run.clock.start)
    end = run.clocks.receive.until
    assert dusk + timedelta(hours=1) < end < dusk + timedelta(hours=9)
    at_dusk = run.fraction[step_at(run, dusk)]
    assert run.fraction[0] - at_dusk > at_dusk - run.fraction[step_at(run, end)]
    assert found.cause.startswith("Since it was full, ")


TIME = re.compile(rf"(?:(?:{'|'.join(DAY_NAMES)})(?: \d+ [A-Z][a-z]+)? )?\d\d:\d\d")


def events(comparison: Comparison) -> set[str]:
    """Return every time that a headline may say, as it is said."""
    said = set()
    for run in comparison.runs:
        if run is None:
            continue
        clocks = (run.clocks.full_power, run.clocks.reduced_power, run.clocks.receive)
        times = [*(clock.until for clock in clocks), lasting_return(run)]
        times += [run.lowest.at, run.reserve_crossed_at]
        rounded = [told(at, about=is_guessed(run)) for at in times if at is not None]
        rounded.append(run.clock.at(run.clock.steps))
        for at in rounded:
            said |= {day_and_time(at, run.clock.days), f"{at:%H:%M}"}
    return said


@pytest.mark.parametrize("seed", range(120))
def test_made_kits_are_told_shortly_and_truly(seed: int):
    comparison = simulate(parse_scenario(tomli_w.dumps(made_kit(seed)).encode()))
    found = headline(comparison)
    for text in (found.text, found.cause) if found.kind == "hazard" else (found.text,):
        assert len(text.split()) <= WORDS_LIMIT, text
        for time in TIME.findall(text):
            assert time in events(comparison), (text, time)
        if ", back " in text:
            assert found.station is not None
            run = comparison.runs[found.station]
            back = step_at(run, lasting_return(run))
            assert run.abilities.receive[back : back + round(1 / run.clock.step_h)].all()
        for who in re.findall(r"((?:[A-D], )*[A-D]) (?:barely )?lasts?\b", text):
            for letter in who.split(", "):
                clocks = comparison.runs["ABCD".index(letter)].clocks
                assert not any(
                    clock.until
                    for clock in (clocks.receive, clocks.reduced_power, clocks.full_power)
                )
        if re.search(r"\b(?:Both|All) last\b|The station lasts", text):
            assert all(run.clocks.receive.until is None for run in comparison.runs)
        if "first" not in text and (off := re.match(r"([A-D]) off the air", text)):
            ends = [run.clocks.receive.until for run in comparison.runs if run is not None]
            mine = comparison.runs["ABCD".index(off[1])].clocks.receive.until
            assert mine == min(end for end in ends if end is not None)
    is_dangerous = worst_hazard(comparison) is not None
    said = " ".join(f.sentence for f in find_without_variants(comparison.scenario))
    assert is_dangerous == bool(
        re.search(r"this radio is rated|is above the|without a charge controller", said)
    )
    begin, end = found.emphasis
    assert 0 <= begin <= end <= len(found.text)
    assert "\x02" not in found.text + found.cause
