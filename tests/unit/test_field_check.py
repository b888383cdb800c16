"""The field check: what a reading is worth, what explains a log, and what it changes."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from app.resources import resource
from model.editing.edit_stations import with_part
from model.editing.paths import with_value
from model.engine.run import StationRun, restarted
from model.field.bench_sheet import part_at
from model.field.course_fleet import FactorFleets
from model.field.field_words import (
    check_sentence,
    event_sentence,
    explanation_sentences,
    outlook_sentences,
)
from model.field.log_check import check_reading, field_check
from model.field.meter_accuracy import charge_by_volts, credit_of_volts
from model.field.observations import observations, step_of
from model.field.offers import accepted
from model.field.unknowns import unknowns
from model.files.scenario_file import dump_scenario, parse_scenario
from model.library.catalogue import Library
from model.library.new_station import new_station
from model.library.store import load
from model.scenario.scenario import Block, Day, Scenario, Site
from model.scenario.station import Battery, FieldReading, Meters, Station
from tests.plain import plain
from tests.planned import run_station

WATCH = (Block(start="00:00", end="24:00", activity="watch"),)

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


METERS = Meters()
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
    assert check.found is None
    assert "prediction stands" in outlook_sentences(check)[0]


def test_rested_volts_of_lfp_between_20_and_90_per_cent_cannot_be_believed() -> None:
    # Common practice, no source: 13.0 to 13.2 V at rest may be nearly full or half gone.
    lfp = Battery(chemistry="LFP", capacity_ah=20.0)
    for volts in (13.0, 13.1, 13.15, 13.2, 13.3):
        credit = credit_of_volts(lfp, volts, METERS, at_rest=True)
        assert not credit.believable
        assert "trust the counted Ah" in credit.sentence
    assert credit_of_volts(lfp, 12.2, METERS, at_rest=True).believable
    assert credit_of_volts(lfp, 13.6, METERS, at_rest=True).believable
    # Lead says something anywhere: 12.2 V is about half (BCI: 12.24 V at 50 %).
    lead = Battery(chemistry="AGM", capacity_ah=20.0)
    assert credit_of_volts(lead, 12.2, METERS, at_rest=True).believable
    span = charge_by_volts(lead, 12.24, METERS.volts_v)
    assert span is not None
    assert span.middle_fraction == pytest.approx(0.5, abs=0.1)


def test_volts_under_load_or_of_another_battery_are_not_believed() -> None:
    lead = Battery(chemistry="AGM", capacity_ah=20.0)
    assert "after 30 min" in plain(credit_of_volts(lead, 12.2, METERS, at_rest=False).sentence)
    assert "had not rested" in credit_of_volts(lead, 14.4, METERS, at_rest=True).sentence


def test_a_panel_reading_says_nothing_at_night_or_into_a_full_battery(kit: Station) -> None:
    done = run(kit)
    [night] = check_reading(done, FieldReading(day=2, at="01:00", panel_a=0.0))
    assert not night.credit.believable
    full = kit.model_copy(update={"start_fraction": 1.0, "radio": kit.radio.model_copy(
        update={"receive_a": 0.01})})  # fmt: skip
    sunny = DAY.model_copy(update={"start_hour": 10.0})
    [check] = check_reading(run(full, sunny), FieldReading(at="13:00", panel_a=0.2))
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


@pytest.fixture(scope="module")
def bare(kit: Station) -> Station:
    """A radio and its battery alone: 0.3 A or so empty 5 Ah within the day."""
    battery = kit.battery.model_copy(update={"capacity_ah": 5.0, "tested_fraction": 1.0})
    return kit.model_copy(
        update={
            "panel": None, "controller": None, "tuner": None, "extras": (), "battery": battery,
            "start_fraction": 1.0,
        }
    )  # fmt: skip


ONE_DAY = DAY.model_copy(update={"days": 1})


def with_receive(station: Station, factor: float) -> Station:
    receive_a = station.radio.receive_a * factor
    return station.model_copy(
        update={"radio": station.radio.model_copy(update={"receive_a": receive_a})}
    )


def with_capacity(station: Station, factor: float) -> Station:
    tested = station.battery.tested_fraction * factor
    return station.model_copy(
        update={"battery": station.battery.model_copy(update={"tested_fraction": tested})}
    )


def counted(truth: StationRun, at: str, day: int = 1) -> FieldReading:
    """Return what a counter shows that was set to zero at the start."""
    step = step_of(truth, FieldReading(day=day, at=at))
    assert step is not None
    gone_ah = float(truth.flow.stored_ah[0] - truth.flow.stored_ah[step])
    return FieldReading(day=day, at=at, used_ah=round(gone_ah, 2))


def end_of(truth: StationRun) -> FieldReading:
    """Return the reading that it went off the air, at the minute it did."""
    gone = truth.clocks.receive.until
    assert gone is not None
    day = (gone.date() - truth.clock.start.date()).days + 1
    return FieldReading(day=day, at=f"{gone:%H:%M}", event="off")


def test_members_of_a_fleet_are_runs_of_stations_with_other_numbers(bare: Station) -> None:
    done = run(bare, ONE_DAY, WATCH)
    unknown = unknowns(done)
    assert [each.key for each in unknown] == ["battery", "start", "receive"]
    fleet = FactorFleets(done, unknown).run(np.array([[1.0, 1.0, 1.0], [0.8, 0.9, 1.2]]))
    other = with_receive(with_capacity(bare, 0.8), 1.2).model_copy(update={"start_fraction": 0.9})
    for member, station in enumerate((bare, other)):
        plain_run = run_station(SITE, ONE_DAY, WATCH, station, step_min=10.0)
        stored_ah = fleet.stored_ah[:-1, member]
        assert stored_ah == pytest.approx(plain_run.flow.stored_ah, abs=1e-9)


def test_a_tired_battery_is_found_at_its_end_and_not_before(bare: Station) -> None:
    done, truth = run(bare, ONE_DAY, WATCH), run(with_capacity(bare, 0.75), ONE_DAY, WATCH)
    early = (counted(truth, "20:00"), counted(truth, "21:00"))
    before = field_check(done, early).found
    assert before is not None
    cause = before.cause("battery")
    assert cause.share == pytest.approx(cause.prior_share, abs=1e-4)
    assert not before.can_tell.capacity
    told = " ".join(explanation_sentences(field_check(done, early)))
    assert "These readings cannot tell the battery's capacity" in told
    assert "the time it goes off the air" in told
    assert not before.offers
    check = field_check(done, (*early, end_of(truth)))
    after = check.found
    assert after is not None
    first = after.causes[0]
    assert first.unknown.key == "battery"
    assert first.factor == pytest.approx(0.75, abs=0.03)
    # Never that it draws less: the counter says what it draws.
    assert after.cause("receive").share < 0.2
    assert "the battery gives about 7" in explanation_sentences(check)[0].lower()
    assert any("discharge test" in line for line in explanation_sentences(check))


def test_the_hour_to_plan_by_is_before_the_truth_while_nothing_tells(bare: Station) -> None:
    done, truth = run(bare, ONE_DAY, WATCH), run(with_capacity(bare, 0.75), ONE_DAY, WATCH)
    check = field_check(done, (counted(truth, "20:00"),))
    assert check.found is not None
    ends = check.found.outlook.receive
    assert truth.clocks.receive.hours is not None
    assert ends.cautious_h < truth.clocks.receive.hours + 0.5
    assert ends.cautious_h < ends.low_h <= ends.middle_h <= ends.high_h
    said = " ".join(outlook_sentences(check))
    assert "plan on it until" in said
    assert "gives up" in said


def test_receive_current_22_per_cent_higher_is_found_offered_and_then_done(bare: Station) -> None:
    done, truth = run(bare, ONE_DAY, WATCH), run(with_receive(bare, 1.22), ONE_DAY, WATCH)
    log = tuple(counted(truth, at) for at in ("20:00", "21:00", "22:00"))
    station = bare.model_copy(update={"readings": log})
    check = field_check(done, log)
    [offer] = check.offers
    assert offer.path == "radio.receive_a"
    assert offer.after == pytest.approx(bare.radio.receive_a * 1.22, rel=0.04)
    assert "more than entered" in offer.sentence
    updated = accepted(station, offer, date(2027, 3, 20))
    source = updated.radio.source_of("receive_a")
    assert (source.origin, source.on) == ("measured", date(2027, 3, 20))
    assert source.spread == offer.spread
    assert 0 < offer.spread < 0.1
    again = field_check(run(updated, ONE_DAY, WATCH))
    assert again.checks
    assert again.offers == ()


def test_a_kept_battery_and_a_kept_start_offer_nothing_more(bare: Station) -> None:
    tired = with_capacity(bare, 0.7)
    truth = run(tired, ONE_DAY, WATCH)
    log = (counted(truth, "20:00"), counted(truth, "22:00"), end_of(truth))
    station = bare.model_copy(update={"readings": log})
    [offer] = field_check(run(station, ONE_DAY, WATCH)).offers
    assert offer.path == "battery.tested_fraction"
    updated = accepted(station, offer, date(2027, 3, 20))
    assert updated.battery.tested_fraction == pytest.approx(0.7, abs=0.03)
    # The counter was set before anybody knew.
    assert updated.meters.counter_start_ah == 0.0
    assert field_check(run(updated, ONE_DAY, WATCH)).offers == ()


def test_more_in_than_was_missing_tells_that_it_started_low(kit: Station) -> None:
    sunny = DAY.model_copy(update={"sky": (1.0,), "start_hour": 8.0, "days": 1})
    large = kit.model_copy(
        update={
            "panel": kit.panel.model_copy(update={"rated_w": 160.0}), "start_fraction": 1.0,
        }
    )  # fmt: skip
    done = run(large, sunny)
    truth = run(large.model_copy(update={"start_fraction": 0.8}), sunny)
    log = tuple(counted(truth, at) for at in ("11:00", "14:00", "16:00"))
    assert log[-1].used_ah is not None
    assert log[-1].used_ah < -3.0
    found = field_check(done, log).found
    assert found is not None
    assert found.can_tell.start
    assert not found.can_tell.capacity
    assert found.causes[0].unknown.key == "start"
    assert found.causes[0].factor == pytest.approx(0.8, abs=0.03)


def test_a_panel_is_untold_in_the_night_and_told_by_its_current_in_sun(kit: Station) -> None:
    done = run(kit)
    told = "These readings leave the panel's odds as they were"
    night = (counted(done, "20:00"), counted(done, "22:00"))
    assert told in " ".join(explanation_sentences(field_check(done, night)))
    # Half of what a clear noon gives, out of a battery that has room.
    minute = 15 * 60
    taken_ah, given_a = used_ah(done, minute), float(done.flow.panel_a[minute])
    noon = FieldReading(day=2, at="09:00", used_ah=taken_ah + 3, panel_a=given_a / 2)
    check = field_check(done, (*night, noon))
    assert check.found is not None
    assert check.found.cause("sun").share > 2 * check.found.cause("sun").prior_share
    assert told not in " ".join(explanation_sentences(check))


def test_the_same_log_gives_the_same_answer(bare: Station) -> None:
    done = run(bare, ONE_DAY, WATCH)
    log = (FieldReading(at="20:00", used_ah=0.9),)
    one, other = (field_check(done, log).found for _ in range(2))
    assert one is not None
    assert other is not None
    assert one.outlook.receive == other.outlook.receive
    assert np.array_equal(one.posterior.factor, other.posterior.factor)


def test_what_was_predicted_agrees_and_offers_nothing(kit: Station) -> None:
    done = run(kit)
    reading = counted(done, "12:00", 3)
    shown_ah = (1 - kit.start_fraction) * done.inputs.bounds.full_ah + (reading.used_ah or 0.0)
    reading = reading.model_copy(update={"used_ah": shown_ah})
    check = field_check(done, (reading,))
    [row] = check.checks
    assert row.agrees
    assert row.low < row.expected < row.high
    assert check.offers == ()


def test_events_and_loads_are_observed_with_numbers_or_without(kit: Station) -> None:
    done = run(kit)
    log = (
        FieldReading(day=2, at="03:00", event="off"),
        FieldReading(day=2, at="08:00", event="back"),
        FieldReading(day=2, at="10:00", event="no change", load_a=0.4, used_ah=3.0),
    )
    assert [each.kind for each in observations(done, log)] == [
        "off", "back", "used_ah", "load_a", "on",
    ]  # fmt: skip
    assert [event_sentence(each) for each in log] == [
        "Off the air from 03:00.", "Back at 08:00.", "On the air as before at 10:00.",
    ]  # fmt: skip


def test_better_meters_are_believed_more(kit: Station) -> None:
    coarse = kit.model_copy(update={"meters": Meters(counter_share=0.2, counter_offset_a=0.05)})
    reading = FieldReading(day=2, at="12:00", used_ah=5.0)
    [fine] = observations(run(kit), (reading,))
    [rough] = observations(run(coarse), (reading,))
    assert rough.sd > 4 * fine.sd


def test_every_offer_can_be_taken(kit: Station) -> None:
    done = run(kit)
    truth = run(
        with_receive(kit, 1.3).model_copy(
            update={"panel": kit.panel.model_copy(update={"rated_w": kit.panel.rated_w * 0.4})}
        )
    )
    log = tuple(
        counted(truth, at, day).model_copy(
            update={
                "panel_a": round(
                    float(truth.flow.panel_a[step_of(truth, FieldReading(day=day, at=at)) or 0]), 2
                )
            }
        )
        for day, at in ((1, "22:00"), (2, "08:00"), (2, "12:00"), (2, "18:00"), (3, "12:00"))
    )
    kept_ah = kit.start_fraction * done.inputs.bounds.full_ah
    missing_ah = done.inputs.bounds.full_ah - kept_ah
    log = tuple(
        each.model_copy(update={"used_ah": round((each.used_ah or 0.0) + missing_ah, 2)})
        for each in log
    )
    check = field_check(done, log)
    assert {"panel.other_losses", "radio.receive_a"} <= {offer.path for offer in check.offers}
    for offer in check.offers:
        part, name = part_at(accepted(kit, offer, date(2027, 3, 22)), offer.path)
        assert getattr(part, name) == offer.after
        assert part.source_of(name).origin == "measured"
        assert offer.sentence.endswith(".")


def test_the_log_is_kept_with_the_scenario(kit: Station) -> None:
    scenario = Scenario(site=SITE, day=DAY, plan=PLAN, stations=(kit,))
    table = [
        {"day": 2, "at": "12:00", "used_ah": 4.2, "load_a": 0.4, "note": "after lunch"},
        {"day": 2, "at": "23:00", "event": "off"},
    ]
    kept = with_value(scenario, "stations.0.readings", table)
    kept = with_value(kept, "stations.0.meters.counter_share", 0.01)
    assert parse_scenario(dump_scenario(kept).encode()) == kept
    done = run(kept.stations[0])
    [row, _] = check_reading(done, kept.stations[0].readings[0])
    assert row.measured == 4.2
    assert "used since full: measured 4.2 Ah" in plain(check_sentence(done, row))
