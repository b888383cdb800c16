"""The bench sheet, and what its readings make of a station."""

from __future__ import annotations

from datetime import date

import pytest

from app.resources import resource
from model.editing.edit_stations import with_part
from model.editing.faults import ScenarioError
from model.field.bench_sheet import (
    BenchReadings,
    Discharge,
    KeyDownReading,
    apply_readings,
    bank_resistance_ohm,
    bench_sheet,
    fraction_tested,
    misses,
)
from model.library.catalogue import Library
from model.library.new_station import new_station
from model.library.store import load
from model.results.two_load_test import LoadReading
from model.scenario.station import Battery, Lead, Meters, Station
from model.station.key_down_law import fit

DAY = date(2027, 3, 1)


@pytest.fixture(scope="module")
def library() -> Library:
    return load(resource("assets/parts"))


@pytest.fixture(scope="module")
def station(library: Library) -> Station:
    kit = new_station("A", "Compact all-mode, 10 W", "LFP 15 Ah", library)
    for kind, name in (
        ("amplifier", "Field amplifier, 50 W"), ("tuner", "Latching tuner, 100 W"),
        ("laptop", "Tablet"), ("extra", "Light"), ("extra", "In-line meter"),
    ):  # fmt: skip
        kit = with_part(kit, library.find(kind, name))
    return kit


def readings(**given: object) -> BenchReadings:
    return BenchReadings(on=DAY, **given)  # type: ignore[arg-type]


def test_the_sheet_asks_for_each_guess_with_the_number_held(station: Station) -> None:
    items = {item.path: item for step in bench_sheet(station) for item in step.items}
    assert items["radio.receive_a"].held == 0.16
    assert items["radio.receive_a"].unit == "A"
    assert items["extras.1.current_a"].part == "In-line meter"
    assert {"radio.mass_kg", "leads.0.mass_kg", "radio.key_down", "amplifier.operate_a",
            "battery.resistance_ohm", "battery.tested_fraction"} <= items.keys()  # fmt: skip
    # The light is given in watts, so there is no current of it to hold.
    assert "extras.0.current_a" not in items


def test_the_work_fits_into_half_an_hour_but_for_what_takes_a_day(station: Station) -> None:
    steps = bench_sheet(station)
    assert sum(step.minutes for step in steps if not step.another_day) <= 30
    assert [step.title for step in steps if step.another_day] == ["Battery, full to cut-off"]


def test_what_was_measured_is_not_asked_for_again(station: Station) -> None:
    after = apply_readings(station, readings(numbers=(("radio.receive_a", 0.19),)))
    paths = {item.path for step in bench_sheet(after) for item in step.items}
    assert "radio.receive_a" not in paths
    assert "radio.off_a" in paths


def test_measured_numbers_bear_their_source_and_day(station: Station) -> None:
    after = apply_readings(
        station, readings(numbers=(("radio.receive_a", 0.19), ("extras.0.power_w", 3.0)))
    )
    assert after.radio.receive_a == 0.19
    assert after.extras[0].power_w == 3.0
    for source in (after.radio.source_of("receive_a"), after.extras[0].source_of("power_w")):
        assert (source.origin, source.on) == ("measured", DAY)
    assert after.radio.source_of("off_a").origin == "guess"
    assert after.extras[1] is station.extras[1]


def test_key_down_readings_refit_the_law_and_show_each_miss(station: Station) -> None:
    # Through (1, 1.0) and (4, 1.5) the law is 0.5 + 0.5*sqrt(P): 2.0 A at 9 W.
    points = tuple(KeyDownReading(rf_w, a) for rf_w, a in ((1.0, 1.0), (4.0, 1.5), (9.0, 2.0)))
    after = apply_readings(station, readings(key_down=(("radio", points),)))
    law = fit(after.radio.key_down)
    assert (law.bias_a, law.root_a) == pytest.approx((0.5, 0.5))
    assert after.radio.source_of("key_down").origin == "measured"
    assert [miss for *_, miss in misses(after.radio.key_down)] == pytest.approx([0, 0, 0])
    # Three points that no law of this form meets: 1, 2 and 2 A at 1, 4 and 9 W. Least squares on
    # sqrt(P) = 1, 2, 3 gives 2/3 + P**0.5 / 2, that is 7/6, 5/3 and 13/6 A.
    off = misses(((1.0, 1.0), (4.0, 2.0), (9.0, 2.0)))
    assert [a for _, a, _ in off] == pytest.approx([7 / 6, 5 / 3, 13 / 6])
    assert [miss for *_, miss in off] == pytest.approx([1 / 6, -1 / 6, 1 / 12])


def test_volts_lost_on_the_way_go_to_the_joints_of_the_radio_lead(station: Station) -> None:
    # 5 mm² copper, 2 m there and 2 m back: 4 * 1.7241e-8 / 5e-6 = 13.79 mohm (IEC 60028).
    lead = Lead(feeds="radio", size_mm2=5.0, one_way_m=2.0, joints_mohm=2.0)
    kit = station.model_copy(update={"leads": (lead,)})
    lost_ohm = 0.083 + 4 * 1.7241e-8 / 5e-6
    points = tuple(
        KeyDownReading(rf_w, a, radio_v=13.0 - a * lost_ohm, battery_v=13.0)
        for rf_w, a in ((1.0, 1.0), (9.0, 2.0))
    )
    after = apply_readings(kit, readings(key_down=(("radio", points),)))
    assert after.leads[0].joints_mohm == pytest.approx(83.0, abs=0.01)
    assert after.leads[0].source_of("joints_mohm").origin == "measured"


def test_two_loads_give_the_resistance() -> None:
    # 13.2 V at 0.5 A and 12.8 V at 10.5 A: 0.4 V over 10 A is 40 mohm.
    light, heavy = LoadReading(13.2, 0.5), LoadReading(12.8, 10.5)
    assert bank_resistance_ohm(light, heavy) == pytest.approx(0.04)
    assert bank_resistance_ohm(LoadReading(13.2, 1.0), LoadReading(13.2, 1.0)) is None


def test_the_resistance_is_that_of_one_battery_at_25_degrees(station: Station) -> None:
    two = station.model_copy(update={"battery": station.battery.model_copy(update={"count": 2})})
    loads = (LoadReading(13.2, 0.5), LoadReading(12.8, 10.5))
    after = apply_readings(two, readings(loads=loads, room_c=25.0))
    assert after.battery.resistance_ohm == pytest.approx(0.08)
    # A cold battery shows more than it would have at 25 °C.
    colder = apply_readings(two, readings(loads=loads, room_c=0.0))
    assert colder.battery.resistance_ohm == pytest.approx(0.08 / 1.7)


def test_a_discharge_to_cut_off_gives_the_tested_capacity() -> None:
    battery = Battery(chemistry="LFP", capacity_ah=20.0)
    assert fraction_tested(battery, Discharge(2.0, 8.0), 25.0) == pytest.approx(0.8)


def test_a_fast_discharge_of_lead_is_not_held_against_it() -> None:
    # Peukert with 1.12 above the 20-hour current: a sound 18 Ah battery gives 9 A (ten times the
    # 0.9 A of the 20-hour rate) for 18 / (9 * 10**0.12) h.
    battery = Battery(chemistry="AGM", capacity_ah=18.0)
    hours = 18 / (9 * 10**0.12)
    assert fraction_tested(battery, Discharge(9.0, hours), 25.0) == pytest.approx(1.0)
    assert fraction_tested(battery, Discharge(0.9, 10.0), 25.0) == pytest.approx(0.5)


def test_what_cannot_be_right_is_refused_all_at_once(station: Station) -> None:
    with pytest.raises(ScenarioError) as refused:
        apply_readings(
            station,
            readings(
                numbers=(("radio.receive_a", -1.0),),
                key_down=(("amplifier", (KeyDownReading(5.0, 3.0),)),),
                loads=(LoadReading(12.8, 0.5), LoadReading(13.2, 5.0)),
                discharge=Discharge(20.0, 20.0),
            ),
        )
    paths = [fault.path for fault in refused.value.faults]
    assert sorted(paths) == [
        "amplifier.key_down", "battery.resistance_ohm", "battery.tested_fraction",
        "radio.receive_a",
    ]  # fmt: skip


def test_readings_that_swap_radio_and_battery_are_refused(station: Station) -> None:
    points = tuple(KeyDownReading(rf_w, rf_w, 13.0, 12.0) for rf_w in (1.0, 4.0))
    with pytest.raises(ScenarioError, match="is above that at the battery"):
        apply_readings(station, readings(key_down=(("radio", points),)))


def test_no_readings_change_nothing(station: Station) -> None:
    assert apply_readings(station, readings()) == station


def test_capacity_and_receive_current_are_due_again_after_a_year(station: Station) -> None:
    measured = apply_readings(
        station,
        readings(numbers=(("radio.receive_a", 0.19),), discharge=Discharge(load_a=0.7, hours=20)),
    )

    def asked(on: date, *, again: bool = False) -> set[str]:
        steps = bench_sheet(measured, on, again=again)
        return {item.path for step in steps for item in step.items}

    yearly = {"radio.receive_a", "battery.tested_fraction"}
    assert not yearly & asked(date(2028, 2, 28))
    assert yearly <= asked(date(2028, 3, 1))
    assert yearly <= asked(DAY, again=True)
    [item] = [
        item
        for step in bench_sheet(measured, again=True)
        for item in step.items
        if item.path == "radio.receive_a"
    ]
    assert (item.held, item.measured_on) == (0.19, DAY)


def test_an_ammeter_s_accuracy_is_the_spread_of_what_it_read(station: Station) -> None:
    meters = Meters(current_share=0.015)
    after = apply_readings(
        station,
        readings(
            numbers=(("radio.receive_a", 0.19), ("radio.mass_kg", 0.9)),
            discharge=Discharge(load_a=0.7, hours=20), meters=meters,
        ),
    )  # fmt: skip
    assert after.meters == meters
    assert after.radio.source_of("receive_a").spread == 0.015
    assert after.battery.source_of("tested_fraction").spread == 0.015
    # Scales are not ammeters.
    assert after.radio.source_of("mass_kg").spread is None
    plain = apply_readings(station, readings(numbers=(("radio.receive_a", 0.19),)))
    assert plain.radio.source_of("receive_a").spread is None
