"""The field check: what a reading is worth, what it changes, and how often it helps."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from app.resources import resource
from model.editing.edit_stations import with_part
from model.editing.paths import with_value
from model.engine.outcome import USES
from model.engine.run import StationRun, restarted
from model.field.bench_sheet import part_at
from model.field.calibration import (
    Observed,
    learn,
    predicted,
    prior_spreads,
    sensitivity,
    with_factors,
)
from model.field.field_check import accepted, field_check, step_of
from model.field.field_words import check_sentence, outlook_sentences
from model.field.meter_accuracy import charge_by_volts, credit_of_volts
from model.files.scenario_file import dump_scenario, parse_scenario
from model.library.catalogue import Library
from model.library.new_station import new_station
from model.library.store import load
from model.scenario.scenario import Block, Day, Scenario, Site
from model.scenario.station import Battery, FieldReading, Station
from tests.plain import plain
from tests.planned import run_station

PLAN = (
    Block(start="07:00", end="08:00", activity="voice", rf_w=10.0, transmit_share=0.3),
    Block(start="08:00", end="22:00", activity="watch"),
    Block(start="22:00", end="07:00", activity="watch", listen_share=0.5),
)
SITE = Site(name="here", latitude_deg=46.0, longitude_deg=11.0, timezone="Europe/Rome")
DAY = Day(date=date(2027, 3, 20), start_hour=18.0, days=2, sky=(0.97,), low_c=(4.0,),
          high_c=(14.0,))  # fmt: skip


@pytest.fixture(scope="module")
def library() -> Library:
    return load(resource("assets/parts"))


@pytest.fixture(scope="module")
def kit(library: Library) -> Station:
    station = new_station("A", "Screen all-mode, 10 W", "LFP 30 Ah", library)
    for kind, name in (
        ("tuner", "Relay-held tuner, 100 W"), ("extra", "Light"),
        ("controller", "MPPT controller, 10 A"), ("panel", "Folding, 25 W"),
    ):  # fmt: skip
        station = with_part(station, library.find(kind, name))
    return station


def run(station: Station, day: Day = DAY, plan: tuple[Block, ...] = PLAN) -> StationRun:
    return run_station(SITE, day, plan, station)


def used_ah(done: StationRun, step: int) -> float:
    return float(done.inputs.bounds.full_ah - done.flow.stored_ah[step])


NOON = FieldReading(day=3, at="12:00")


def test_a_reading_is_found_at_its_minute(kit: Station) -> None:
    done = run(kit)
    # The run starts at 18:00: noon of the next date is 18 h later.
    assert step_of(done, FieldReading(day=2, at="12:00")) == 18 * 60
    assert step_of(done, FieldReading(day=1, at="18:00")) == 0
    assert step_of(done, FieldReading(day=1, at="12:00")) is None
    assert step_of(done, FieldReading(day=3, at="18:00")) is None


def test_a_reading_after_the_clocks_change_is_found_by_the_wall_clock(kit: Station) -> None:
    # In Rome 02:00 to 03:00 does not exist on 28 March 2027 (directive 2000/84/EC: the last
    # Sunday of March): noon is 17 elapsed hours after 18:00.
    day = DAY.model_copy(update={"date": date(2027, 3, 27)})
    assert step_of(run(kit, day), FieldReading(day=2, at="12:00")) == 17 * 60


def test_a_reading_outside_the_run_is_named_and_changes_nothing(kit: Station) -> None:
    done = run(kit)
    stray = FieldReading(day=9, at="12:00", used_ah=5.0)
    check = field_check(done, (stray,))
    assert check.outside == (stray,)
    assert check.outlook is done


def test_rested_volts_of_lfp_between_20_and_90_per_cent_cannot_be_believed() -> None:
    # Common practice, no source: 13.0 to 13.2 V at rest may be nearly full or half gone.
    lfp = Battery(chemistry="LFP", capacity_ah=20.0)
    for volts in (13.0, 13.1, 13.15, 13.2, 13.3):
        credit = credit_of_volts(lfp, volts, at_rest=True)
        assert not credit.believable
        assert "trust the counted Ah" in credit.sentence
    assert credit_of_volts(lfp, 12.2, at_rest=True).believable
    assert credit_of_volts(lfp, 13.6, at_rest=True).believable
    # Lead says something anywhere: 12.2 V is about half (BCI: 12.24 V at 50 %).
    lead = Battery(chemistry="AGM", capacity_ah=20.0)
    assert credit_of_volts(lead, 12.2, at_rest=True).believable
    span = charge_by_volts(lead, 12.24)
    assert span is not None
    assert span.middle_fraction == pytest.approx(0.5, abs=0.1)


def test_volts_under_load_or_of_another_battery_are_not_believed() -> None:
    lead = Battery(chemistry="AGM", capacity_ah=20.0)
    assert "after 30 min" in plain(credit_of_volts(lead, 12.2, at_rest=False).sentence)
    assert "had not rested" in credit_of_volts(lead, 14.4, at_rest=True).sentence


def test_a_panel_reading_says_nothing_at_night_or_into_a_full_battery(kit: Station) -> None:
    done = run(kit)
    [night] = field_check(done, (FieldReading(day=2, at="01:00", panel_a=0.0),)).checks
    assert not night.credit.believable
    full = kit.model_copy(update={"start_fraction": 1.0, "radio": kit.radio.model_copy(
        update={"receive_a": 0.01})})  # fmt: skip
    sunny = DAY.model_copy(update={"start_hour": 10.0})
    [check] = field_check(run(full, sunny), (FieldReading(at="13:00", panel_a=0.2),)).checks
    assert not check.credit.believable
    assert "how full it is" in check.credit.sentence


def test_a_run_taken_up_with_its_own_charge_is_the_same_run(kit: Station) -> None:
    done = run(kit)
    again = restarted(done, 700, float(done.flow.stored_ah[700]))
    assert np.array_equal(again.fraction, done.fraction)
    assert again.clocks == done.clocks


def test_a_run_taken_up_with_less_ends_with_less_by_as_much(kit: Station) -> None:
    dark = kit.model_copy(update={"panel": None, "controller": None, "tuner": None})
    done = run(dark)
    less = restarted(done, 700, float(done.flow.stored_ah[700]) - 2.0)
    assert used_ah(less, -1) - used_ah(done, -1) == pytest.approx(2.0, abs=0.02)
    assert np.array_equal(less.fraction[:700], done.fraction[:700])


def test_what_was_predicted_moves_nothing(kit: Station) -> None:
    done = run(kit)
    step = step_of(done, NOON)
    assert step is not None
    reading = NOON.model_copy(update={"used_ah": used_ah(done, step)})
    check = field_check(done, (reading,))
    [row] = check.checks
    assert row.agrees
    assert row.low < row.expected < row.high
    assert check.outlook.end_fraction == pytest.approx(done.end_fraction, abs=1e-9)
    assert check.offers == ()


def test_the_sensitivities_are_those_of_runs_with_other_numbers(kit: Station) -> None:
    done = run(kit)
    charge = Observed(step_of(done, NOON) or 0, "stored_ah", 0.0, 0.0)
    slopes = sensitivity(done, charge)
    none = learn(done, ())
    for place, use in enumerate(USES):
        factor = dict(none.use_factor) | {use: 1.05}
        changed = with_factors(kit, type(none)(factor, 1.0, 0.0, {}, 0.0))
        moved = predicted(run(changed), charge) - predicted(done, charge)
        assert moved == pytest.approx(0.05 * slopes[place], abs=0.03)
    sunnier = with_factors(kit, type(none)(none.use_factor, 1.05, 0.0, {}, 0.0))
    moved = predicted(run(sunnier), charge) - predicted(done, charge)
    assert moved == pytest.approx(0.05 * slopes[-2], abs=0.03)


def test_a_measured_number_is_held_to_be_better_known(kit: Station) -> None:
    before = prior_spreads(run(kit))[0]
    source = {"receive_a": {"from": "measured"}}
    known = kit.radio.model_validate(kit.radio.model_dump(by_alias=True) | {"sources": source})
    after = prior_spreads(run(kit.model_copy(update={"radio": known})))[0]
    assert after < before


def test_receive_current_22_per_cent_higher_is_found_and_offered(kit: Station) -> None:
    # Nothing but the radio draws: only its receive current can explain the reading.
    bare = kit.model_copy(update={"panel": None, "controller": None, "tuner": None, "extras": ()})
    watch = (Block(start="00:00", end="24:00", activity="watch"),)
    actual = bare.model_copy(update={"radio": bare.radio.model_copy(
        update={"receive_a": bare.radio.receive_a * 1.22})})  # fmt: skip
    truth, done = run(actual, plan=watch), run(bare, plan=watch)
    log = tuple(
        FieldReading(day=day, at=at, used_ah=used_ah(truth, step_of(truth, FieldReading(
            day=day, at=at)) or 0))
        for day, at in ((1, "22:00"), (2, "08:00"), (2, "20:00"), (3, "12:00"))
    )  # fmt: skip
    check = field_check(done, log)
    [offer] = [each for each in check.offers if each.path == "radio.receive_a"]
    assert offer.after == pytest.approx(bare.radio.receive_a * 1.22, rel=0.04)
    assert "more than entered" in offer.sentence
    updated = accepted(bare, offer, date(2027, 3, 22))
    assert updated.radio.receive_a == offer.after
    source = updated.radio.source_of("receive_a")
    assert (source.origin, source.on) == ("measured", date(2027, 3, 22))
    assert "Not" not in outlook_sentences(check)[0]


def test_every_offer_can_be_taken(kit: Station) -> None:
    thirsty = with_factors(
        kit, type(learn(run(kit), ()))(dict.fromkeys(USES, 1.3), 0.6, 0.0, {}, 0.0)
    )
    truth, done = run(thirsty), run(kit)
    moments = ((2, "08:00"), (2, "12:00"), (2, "18:00"), (3, "12:00"))
    log = tuple(_read(truth, done, day, at) for day, at in moments)
    check = field_check(done, log)
    assert {"panel.other_losses", "radio.receive_a"} <= {offer.path for offer in check.offers}
    for offer in check.offers:
        part, name = part_at(accepted(kit, offer, date(2027, 3, 22)), offer.path)
        assert getattr(part, name) == offer.after
        assert part.source_of(name).origin == "measured"
        assert offer.sentence.endswith(".")


def test_the_log_is_kept_with_the_scenario(kit: Station) -> None:
    scenario = Scenario(site=SITE, day=DAY, plan=PLAN, stations=(kit,))
    table = [{"day": 2, "at": "12:00", "used_ah": 4.2, "note": "after lunch"}]
    kept = with_value(scenario, "stations.0.readings", table)
    assert parse_scenario(dump_scenario(kept).encode()) == kept
    done = run(kept.stations[0])
    [row] = field_check(done).checks
    assert row.measured == 4.2
    assert "used since full: measured 4.2 Ah" in plain(check_sentence(done, row))


def _true_station(kit: Station, chance: np.random.Generator) -> Station:
    """Return the kit as it really is: every number off by its spread, normally distributed."""

    def off(spread: float) -> float:
        return float(np.clip(1 + chance.normal(0, spread / 2), 0.3, 2.0))

    panel, tuner = kit.panel, kit.tuner
    assert panel is not None
    assert tuner is not None
    keyed = off(0.15)
    radio = kit.radio.model_copy(
        update={
            "receive_a": kit.radio.receive_a * off(0.2),
            "off_a": kit.radio.off_a * off(0.5),
            "key_down": tuple((rf_w, a * keyed) for rf_w, a in kit.radio.key_down),
        }
    )
    light = kit.extras[0].model_copy(update={"power_w": (kit.extras[0].power_w or 0) * off(0.3)})
    return kit.model_copy(
        update={
            "radio": radio,
            "tuner": tuner.model_copy(update={"idle_a": tuner.idle_a * off(0.3)}),
            "panel": panel.model_copy(
                update={
                    "rated_w": panel.rated_w * off(0.1),
                    "other_losses": min(panel.other_losses * off(0.5), 0.9),
                }
            ),
            "extras": (light,),
            "start_fraction": min(kit.start_fraction * off(0.03), 1.0),
        }
    )


def _true_trip(kit: Station, chance: np.random.Generator) -> StationRun:
    """Return the trip as it really goes: other numbers, another sky, the plan half kept."""
    index = float(np.clip(DAY.sky[0] + chance.normal(0, 0.03), 0.0, 1.0))
    plan = tuple(
        block.model_copy(update={"transmit_share": block.transmit_share * chance.uniform(0.9, 1.1)})
        for block in PLAN
    )
    return run(_true_station(kit, chance), DAY.model_copy(update={"sky": (index,)}), plan)


def _read(
    truth: StationRun, planned: StationRun, day: int, at: str,
    chance: np.random.Generator | None = None,
) -> FieldReading:  # fmt: skip
    step = step_of(planned, FieldReading(day=day, at=at))
    assert step is not None
    noise = chance.normal(1, 0.01, 2) if chance else (1.0, 1.0)
    return FieldReading(
        day=day,
        at=at,
        used_ah=round(max(used_ah(truth, step) * noise[0], 0.0), 2),
        panel_a=round(float(truth.flow.panel_a[step]) * noise[1], 2),
    )


def test_the_check_at_noon_brings_at_least_90_of_100_trips_nearer_to_their_end(
    kit: Station,
) -> None:
    # No outside reference: the truth is the model with other numbers, and meters good to 1 %.
    planned = run(kit)
    nearer = 0
    for seed in range(100):
        chance = np.random.default_rng(seed)
        truth = _true_trip(kit, chance)
        check = field_check(planned, (_read(truth, planned, 3, "12:00", chance),))
        before = abs(planned.end_fraction - truth.end_fraction)
        after = abs(check.outlook.end_fraction - truth.end_fraction)
        nearer += after < before
    assert nearer >= 90


def test_a_few_readings_leave_less_doubt_than_one(kit: Station) -> None:
    planned = run(kit)
    truth = _true_trip(kit, np.random.default_rng(3))
    one = field_check(planned, (_read(truth, planned, 3, "12:00"),))
    log = tuple(_read(truth, planned, day, "12:00") for day in (2, 3))
    both = field_check(planned, (*log, _read(truth, planned, 2, "05:00")))
    assert both.factors.use_spread["receive"] < one.factors.use_spread["receive"]
    assert both.factors.sun_spread < one.factors.sun_spread


def test_a_battery_found_short_where_full_was_foretold_teaches_something(kit: Station) -> None:
    sunny = DAY.model_copy(update={"sky": (1.0,)})
    large = kit.model_copy(update={"panel": kit.panel.model_copy(update={"rated_w": 60.0})})
    planned = run(large, sunny)
    step = step_of(planned, FieldReading(day=2, at="14:00"))
    assert step is not None
    assert planned.fraction[step] > 0.998
    short = FieldReading(day=2, at="14:00", used_ah=6.0, panel_a=0.5)
    check = field_check(planned, (short,))
    counted, panel = check.checks
    assert not counted.agrees
    assert panel.credit.believable
    assert check.factors.sun_factor < 0.6
    assert check.outlook.end_fraction < planned.end_fraction
    # Found full as foretold: how much sun there was beyond that is not known.
    as_foretold = field_check(planned, (FieldReading(day=2, at="14:00", used_ah=0.0),))
    assert as_foretold.factors.sun_factor == 1.0
    assert as_foretold.outlook.end_fraction == pytest.approx(planned.end_fraction, abs=0.01)
