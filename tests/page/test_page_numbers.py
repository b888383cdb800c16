"""Every number on the page is the run's: the file is read back and compared with the model."""

from __future__ import annotations

import re
import sys
from datetime import timedelta
from functools import cache
from pathlib import Path

import pytest

from app.widgets.number_text import fixed
from model.advice.advice import rerun, under_sky
from model.advice.low_battery import begun_at
from model.editing.variants import without_variants
from model.engine.comparison import Comparison, simulate
from model.engine.run import StationRun
from model.export.wiring import wiring
from model.files.scenario_file import dump_scenario
from model.results.provenance import bases, guess_share
from model.results.voltage_drop import chain_at_charge
from model.scenario.scenario import FORMAT
from model.station.carried_mass import carried_total, shared_extras
from model.support.figures import duration, percent
from model.verdict.table import verdict

sys.path.insert(0, str(Path(__file__).parent))
from awkward_kits import ridge, strained
from page_reading import Sheet, pdf_of, sheets

from tests.plain import plain

pytestmark = pytest.mark.usefixtures("qapp")
STATIONS = (0, 1)


@cache
def compared() -> Comparison:
    return simulate(ridge())


@cache
def read(units: str = "metric") -> list[Sheet]:
    return sheets(pdf_of(compared(), units=units))


def both(index: int, units: str = "metric") -> str:
    """Return front and back of a station."""
    return f"{read(units)[2 * index].flat} {read(units)[2 * index + 1].flat}"


def run_of(index: int) -> StationRun:
    run = compared().runs[index]
    assert run is not None
    return run


def after(text: str, words: str, length: int = 80) -> str:
    """Return what stands after words on the page."""
    at = text.index(plain(words)) + len(words)
    return text[at : at + length].strip()


@pytest.mark.parametrize("index", STATIONS)
def test_clocks_under_both_skies(index):
    text = both(index)
    skies = (run_of(index), rerun(under_sky(compared().scenario, "overcast"), index))
    for name, words in (
        ("full_power", "Full power until"), ("reduced_power", "Reduced power until"),
        ("receive", "Receive until"),
    ):  # fmt: skip
        expected = " ".join(
            f"{until:%a %H:%M}" if (until := getattr(run.clocks, name).until) else "lasts"
            for run in skies
        )
        assert after(text, f" {words} ").startswith(expected)
    lows = " ".join(plain(percent(run.lowest.value)) for run in skies)
    assert after(text, "Lowest charge").startswith(lows)
    for run in skies:
        if run.reserve_crossed_at:
            assert f"{run.reserve_crossed_at:%a %H:%M}" in after(text, "% until", 50)


@pytest.mark.parametrize("index", STATIONS)
def test_power_budget(index):
    text = both(index)
    budget = text[text.index("Power budget") :]
    run = run_of(index)
    sums, days = run.sums, run.clock.days
    hours = run.clock.step_h
    labels = {
        "receive": "Receiving", "transmit": "Transmitting", "laptop": "Computer",
        "extras": "Extras", "controller": "Charge controller", "tuner": "Tuner",
    }  # fmt: skip
    for use, label in labels.items():
        mean_ah = sums.by_use_ah[use] / days
        mean_wh = float((run.flow.use_a[use] * run.flow.bus_v).sum()) * hours / days
        share = sums.by_use_ah[use] / sums.load_ah
        assert f"{label} {fixed(mean_ah, 2)} {fixed(mean_wh, 1)} {plain(percent(share))}" in budget
    bus_wh = float((run.flow.load_a * run.flow.bus_v).sum()) * hours / days
    whole = f"In 24 hours {fixed(sums.load_ah / days, 2)} {fixed(bus_wh, 1)} 100 %"
    assert whole in budget
    night, day = re.search(r"By night (\S+), by day (\S+) Ah", budget).groups()
    assert float(night) + float(day) == pytest.approx(sums.load_ah / days, abs=0.011)


@pytest.mark.parametrize("index", STATIONS)
def test_the_verdict_says_how_much_rests_on_guesses(index):
    run = run_of(index)
    guessed = sum(row.ah for row in bases(run) if row.origin == "guess")
    share = guessed / run.sums.load_ah
    assert f"From guesses: {plain(percent(share))} of the Ah." in both(index)


@pytest.mark.parametrize("index", STATIONS)
def test_battery_low_and_battery_alone(index):
    text = both(index)
    left_ah = float(re.search(r"Battery low: (\S+) Ah left", text)[1])
    full_ah = run_of(index).station.battery.full_ah
    assert f"({fixed(full_ah - left_ah, 1)} Ah used)" in text
    # The run begun by hand at what is printed over a column, with the charge that is printed.
    printed = re.findall(r"\d\d:\d\d", after(text, "No change", 40))
    for place, column in enumerate(re.findall(r"(?:dusk,|net,|at) (\d\d):(\d\d)", text)[:3]):
        at = run_of(index).clock.start.replace(hour=int(column[0]), minute=int(column[1]))
        at += timedelta(days=at < run_of(index).clock.start)
        begun = begun_at(compared().scenario, index, at, left_ah)
        until = rerun(begun, index).clocks.receive.until
        assert printed[place] == f"{until:%H:%M}"
    assert f"from full: {plain(duration(run_of(index).hours_on_battery))} with this plan" in text


@pytest.mark.parametrize("index", STATIONS)
def test_carry_list(index):
    text = both(index)
    scenario = compared().scenario
    station = scenario.stations[index]
    carried = carried_total(station, shared_extras(scenario, index))
    counted = f"Carry: {carried.boxes} items, {carried.cables} leads"
    assert f"{counted}, {carried.mass_kg:.2f}".rstrip("0").rstrip(".") in text
    for part in (station.radio, station.battery, station.panel, *station.leads, *station.extras):
        assert part.name in text
    made = [line for line in wiring(station, scenario.plan).lines if line.numbers]
    to_make = ", ".join(f"{each.label} {each.name}" for each in made if not each.leads)
    assert f"till to make, not weighed: {plain(to_make)}" in text
    pounds = carried.mass_kg / 0.45359237
    assert f"{counted}, {pounds:.2f}".rstrip("0").rstrip(".") in both(index, "us")


@pytest.mark.parametrize("index", STATIONS)
def test_volts_sun_and_readings(index):
    text = both(index)
    run = run_of(index)
    volts = run.transmit_volts
    assert f"{fixed(volts.first, 2)} V at first, {fixed(volts.lowest, 2)} V at the lowest" in text
    low_v, expected_v, high_v = (
        fixed(chain_at_charge(run, charge).at_set_v("radio")[1], 2) for charge in (0.3, 0.95, 0.98)
    )
    expected = f"{expected_v} V ({low_v} to {high_v})"
    assert after(text, "Voltage at the radio, key down").lstrip(": ").startswith(expected)
    for sky in ("clear", "overcast"):
        panel = rerun(under_sky(compared().scenario, sky), index).sums.panel_wh
        said = re.search(rf"[Ee]xpected.*?\b{sky} ([\d.]+)(?: h)? \(?(\d+)", text)
        sun_h, wh = said.groups()
        assert wh == fixed(panel.available / run.clock.days, 0)
        assert 0 < float(sun_h) < 14
    radio = run.station.radio
    receiving = after(text, "Radio alone, receiving").lstrip(": ")
    assert receiving.startswith(f"{fixed(radio.receive_a, 2)} A")
    # Midnight from Saturday to Sunday is 16 h from the start at 08:00.
    step = int(16 * 60 / run.clock.step_min)
    used_ah = (1 - run.fraction[step]) * run.station.battery.full_ah
    told = after(text, "midnight" if "Sun midnight" in text else "Midnight – ", 20)
    assert told.startswith(f"{fixed(used_ah, 1)} (")


def test_comparison_page():
    text = read()[4].flat
    said = verdict(compared())
    for sentence in said.sentences:
        assert plain(sentence) in text
    runs = [run_of(index) for index in STATIONS]
    for label, values in {
        "Drawn in total, Ah": [fixed(run.sums.load_ah, 1) for run in runs],
        "Receiving, Ah": [fixed(run.sums.by_use_ah["receive"], 1) for run in runs],
        "Sun used, Wh": [fixed(run.sums.panel_wh.used, 0) for run in runs],
        "Unused sun, Wh": [fixed(run.sums.panel_wh.spilled, 0) for run in runs],
        "Charge at the end, %": [fixed(run.end_fraction * 100, 0) for run in runs],
        "Lowest voltage, key down, V": [fixed(run.transmit_volts.lowest, 2) for run in runs],
        "From guesses, %": [fixed(guess_share(run) * 100, 0) for run in runs],
    }.items():
        assert after(text, label).startswith(" ".join(values)), label


def test_us_units_say_the_same():
    metric, us = both(0), both(0, "us")
    assert "low 3 °C / 4 °C, high 13 °C / 14 °C" in metric
    assert "low 37.4 °F / 39.2 °F, high 55.4 °F / 57.2 °F" in us
    assert "6 mm²" in metric
    for text in (us, read("us")[4].flat):
        # What the parts are called stays as it is.
        named = text.replace("15 m of thin coaxial line", "")
        assert not re.search(r"\d (?:mm²|kg|m|°C|m/s)(?!\w)", named)
    # 1.0 m of 2.5 mm²: 3.28 ft; 2.5 mm² lies between AWG 14 (2.08) and AWG 13 (2.63 mm²).
    assert "AWG 13 3.28 ft" in us
    clocks = slice(metric.index("Receive until"), metric.index("Battery alone"))
    assert metric[clocks] == us[us.index("Receive until") : us.index("Battery alone")]


def test_the_input_mark_is_of_the_scenario_text():
    import hashlib

    # Variants beside the scenario change nothing that is printed.
    text = dump_scenario(without_variants(compared().scenario))
    digest = hashlib.sha256(text.encode()).hexdigest()[:8]
    assert all(f"input {FORMAT}-{digest}" in sheet.flat for sheet in read())


def test_times_stand_in_local_time_and_in_utc():
    # Central European Summer Time is two hours ahead of UTC: EU Directive 2000/84/EC.
    assert "Sat 17 Apr 2027 08:00 to Mon 19 Apr 08:00 (06:00 UTC)" in read()[0].flat


def test_weak_points_tell_what_is_left():
    read = sheets(pdf_of(strained(extras=1), station=1))
    text = " ".join(sheet.flat for sheet in read)
    # 10 W for 100 W is 10 dB.
    assert "Amplifier: power above 10 W ends (10.0 dB less)" in text
    assert "Panel or its controller: all charging ends" in text
