"""Distances that people must keep are never shown as less than they are."""

from __future__ import annotations

import re
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtWidgets import QApplication

from app.pages.signal.words import clear_words, distance_words
from app.printing.caution_texts import caution_texts
from app.printing.say import Say, Units
from app.state.display import Display
from app.state.settings import Settings
from app.widgets.number_text import rounded_up
from model.editing.units import M_PER_FT
from model.engine.comparison import simulate
from model.export.kit_page import kit_of
from model.scenario.scenario import Block, Day, Scenario, Site
from model.scenario.station import Battery, Radio, Station
from model.station.rf_exposure import Exposure, exposures


@given(st.floats(0.0, 1e6))
def test_what_is_rounded_up_is_never_less_and_at_most_a_step_more(value: float) -> None:
    shown = float(rounded_up(value, 1))
    assert value <= shown < value + 0.1 + 1e-9


@pytest.mark.parametrize(
    ("value", "text"),
    [(3.2, "3.2"), (3.2000001, "3.3"), (6.7202, "6.8"), (0.0, "0.0"), (12, "12.0")],
)
def test_a_number_that_needs_no_rounding_stays(value: float, text: str) -> None:
    assert rounded_up(value, 1) == text


def sending(frequency_mhz: float, rf_w: float) -> Scenario:
    radio = Radio(receive_a=0.2, key_down=((10.0, 2.0), (100.0, 19.0)))
    battery = Battery(chemistry="LFP", capacity_ah=20.0, resistance_ohm=0.02)
    block = Block(
        start="06:00", end="18:00", activity="fm", rf_w=rf_w, transmit_share=1.0,
        frequency_mhz=frequency_mhz,
    )  # fmt: skip
    return Scenario(
        site=Site(latitude_deg=47.0, longitude_deg=9.0, timezone="UTC"),
        day=Day(date=date(2027, 6, 1), low_c=8.0, high_c=20.0),
        plan=(block,),
        stations=(Station(radio=radio, battery=battery),),
    )


def found_in(scenario: Scenario) -> tuple[Exposure, ...]:
    return exposures(scenario.stations[0], scenario.plan)


# Among them both sides of a rounding, in the near field (1.9 to 29 MHz) and beyond it.
CASES = [
    (1.9, 12.0), (3.6, 50.0), (7.1, 30.0), (29.0, 77.0), (51.0, 63.0), (146.0, 41.0), (433.0, 90.0),
]  # fmt: skip


@pytest.mark.parametrize(("units", "unit_m"), [("metric", 1.0), ("us", M_PER_FT)])
@pytest.mark.parametrize(("frequency_mhz", "rf_w"), CASES)
def test_the_page_shows_no_less_than_the_distance(
    frequency_mhz: float, rf_w: float, units: Units, unit_m: float
) -> None:
    scenario = sending(frequency_mhz, rf_w)
    texts = caution_texts(kit_of(simulate(scenario), 0), Say(units))
    (text,) = [text for text in texts if text.startswith("RF:")]
    shown = [float(each) for each in re.findall(r"([\d.]+)\s(?:m|ft)\b", text)]
    found = found_in(scenario)
    assert [each.group for each in found] == ["public", "operator"]
    # In the near field both groups have one limit, that of the method, which is said once.
    exact = list(dict.fromkeys(each.distance_m / unit_m for each in found))
    for said, distance in zip(shown, exact, strict=True):
        assert distance <= said < distance + 0.1
    judged = text.count("this method cannot judge nearer than")
    assert judged == len({each.near_field_m for each in found if each.is_near_field})
    assert text.count(" at least ") == sum(not each.is_near_field for each in found)


@pytest.mark.parametrize("us", [False, True])
@pytest.mark.parametrize(("frequency_mhz", "rf_w"), CASES)
def test_the_window_shows_no_less_in_metres_or_feet(
    frequency_mhz: float, rf_w: float, us: bool, qapp: QApplication
) -> None:
    assert qapp is not None
    display = Display(Settings())
    display.set_us(us)
    scenario = sending(frequency_mhz, rf_w)
    for each in found_in(scenario):
        exact = each.distance_m / M_PER_FT if us else each.distance_m
        words = distance_words(each, display), clear_words(each, scenario.plan[0], display)
        for said in words:
            number = float(re.findall(r"([\d.]+)\s(?:m|ft)\b", said)[0])
            assert exact <= number < exact + 0.1
