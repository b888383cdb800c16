"""Numbers to text and back, held to the definitions of the units."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.widgets.number_text import (
    NumberTextError,
    awg_of,
    entered_quantity,
    entered_texts,
    fixed,
    number_text,
    plain,
    quantity,
    read_number,
    sentence_text,
    shown_as,
    shown_unit,
    step_of,
    understood,
)
from app.widgets.whole_box import WholeBox
from model.editing.field_facts import field_at
from model.support.figures import NBSP, percent
from tests.plain import plain as spaced

MASS = field_at("stations.0.radio.mass_kg")
LOW = field_at("day.low_c")
CURRENT = field_at("stations.0.radio.receive_a")
RESERVE = field_at("stations.0.reserve_fraction")
OHM = field_at("stations.0.battery.resistance_ohm")
PER_C = field_at("stations.0.panel.power_per_c")
COUNT = field_at("stations.0.battery.count")


def test_a_pound_is_what_it_is_defined_as() -> None:
    # International yard and pound agreement, 1959: 1 lb = 0.45359237 kg exactly.
    assert read_number("1", MASS, us=True) == pytest.approx(0.45359237, rel=1e-15)


def test_a_foot_is_what_it_is_defined_as() -> None:
    # The same agreement: 1 ft = 0.3048 m exactly.
    assert read_number("10 ft", field_at("site.elevation_m"), us=True) == pytest.approx(3.048)


@pytest.mark.parametrize(("c", "f"), [(0.0, 32.0), (100.0, 212.0), (-40.0, -40.0)])
def test_fahrenheit_meets_celsius_at_fixed_points(c: float, f: float) -> None:
    # Definition of the scale: water freezes at 32 and boils at 212 °F; both meet at -40.
    shown = shown_unit("°C", 0, us=True)
    assert shown.of(c) == pytest.approx(f)
    assert shown.back(f) == pytest.approx(c)


@pytest.mark.parametrize(
    ("awg", "mm2"), [(10, 5.261), (12, 3.309), (14, 2.081), (16, 1.309), (18, 0.823)]
)
def test_wire_gauge_follows_the_standard(awg: int, mm2: float) -> None:
    # ASTM B258, table of areas of solid round wire.
    assert awg_of(mm2) == pytest.approx(awg, abs=0.01)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("12", 12.0), ("12.5", 12.5), ("12,5", 12.5), ("0,125", 0.125), (" 12 A ", 12.0),
        ("1e1", 10.0), (".5", 0.5), ("5.", 5.0),
    ],
)  # fmt: skip
def test_what_a_person_writes_is_understood(text: str, value: float) -> None:
    assert read_number(text, CURRENT, us=False) == value


@pytest.mark.parametrize("us", [False, True])
@pytest.mark.parametrize(
    ("text", "path", "value"),
    [
        ("850 mA", "radio.receive_a", 0.85),
        ("11 W at 12.5 V", "radio.receive_a", 0.88),
        ("6.4 W", "radio.receive_a", 0.5),
        ("192 Wh", "battery.capacity_ah", 15.0),
        ("12000 mAh", "battery.capacity_ah", 12.0),
        ("620 g", "radio.mass_kg", 0.62),
        ("2 lb", "radio.mass_kg", 2 * 0.45359237),
        ("1 lb 4 oz", "radio.mass_kg", 1.25 * 0.45359237),
        ("0.025 ohm", "battery.resistance_ohm", 0.025),
        ("23 °F", "battery.charge_min_c", -5.0),
        ("-5 °C", "battery.charge_min_c", -5.0),
    ],
)
def test_what_people_have_in_hand_is_understood_and_said(
    text: str, path: str, value: float, us: bool
) -> None:
    facts = field_at(f"stations.0.{path}")
    assert read_number(text, facts, us=us, supply_v=12.8) == pytest.approx(value)
    # What stands there in the unit shown needs no words.
    is_shown = text.endswith(f" {shown_as(facts, us=us).unit}")
    said = understood(text, facts, us=us, supply_v=12.8)
    assert said.endswith(".") != is_shown
    plain_text = number_text(value, facts, us=us)
    assert understood(plain_text, facts, us=us) == ""
    assert understood(f"{plain_text} {shown_as(facts, us=us).unit}", facts, us=us) == ""


def test_watts_without_volts_are_asked_for_them() -> None:
    with pytest.raises(NumberTextError, match="11 W needs its voltage"):
        read_number("11 W", CURRENT, us=False)


def test_bounds_hold_for_other_units_too() -> None:
    with pytest.raises(NumberTextError, match="Must be at most"):
        read_number("5000000 mA", field_at("stations.0.radio.receive_a"), us=False)


@pytest.mark.parametrize("minus", ["-3", "−3"])
def test_both_minus_signs_are_understood(minus: str) -> None:
    facts = field_at("stations.0.antenna.gain_dbi")
    assert read_number(minus, facts, us=False) == -3.0


@pytest.mark.parametrize("text", ["", "  ", "x", "1 2", "1,2,3", "5 W", "nan", "inf", "1e999"])
def test_what_is_no_number_is_refused_with_a_sentence(text: str) -> None:
    with pytest.raises(NumberTextError, match=r"[.]$"):
        read_number(text, CURRENT, us=False)


def test_a_comma_before_three_digits_is_not_guessed_at() -> None:
    with pytest.raises(NumberTextError, match="write 1250 or use a point"):
        read_number("1,250", field_at("site.elevation_m"), us=False)


def test_a_blank_between_thousands_is_understood() -> None:
    assert read_number("1 250", field_at("site.elevation_m"), us=False) == 1250.0


def test_a_whole_number_is_one() -> None:
    assert read_number("3", COUNT, us=False) == 3
    with pytest.raises(NumberTextError, match="whole number"):
        read_number("2.5", COUNT, us=False)


def test_fractions_are_read_and_shown_in_per_cent() -> None:
    assert shown_as(RESERVE, us=False).unit == "%"
    assert number_text(0.2, RESERVE, us=False) == "20"
    assert read_number("35 %", RESERVE, us=False) == 0.35
    assert percent(0.305) == f"30{NBSP}%"


def test_small_resistances_are_shown_in_milliohms() -> None:
    assert number_text(0.02, OHM, us=False) == "20"
    assert read_number("20", OHM, us=False) == pytest.approx(0.02, rel=1e-15)


def test_temperature_coefficients_are_shown_in_per_cent() -> None:
    assert number_text(-0.004, PER_C, us=False) == "−0.4"
    assert read_number("-0.35", PER_C, us=False) == pytest.approx(-0.0035, rel=1e-15)


def test_bounds_are_said_as_they_are_read() -> None:
    with pytest.raises(NumberTextError, match=r"Must be less than 100\u00a0%, got 120\."):
        read_number("120", RESERVE, us=False)
    with pytest.raises(NumberTextError, match=r"Must be at most 1102\.311\u00a0lb, got 2000\."):
        read_number("2000", MASS, us=True)


@given(st.floats(min_value=0, max_value=100, allow_nan=False), st.booleans())
def test_what_is_shown_in_full_is_read_back(value: float, us: bool) -> None:
    value = round(value, 6)
    text = number_text(value, CURRENT, us=us)
    assert read_number(text, CURRENT, us=us) == pytest.approx(value, abs=5e-9)


@given(st.floats(min_value=0, max_value=500, allow_nan=False))
def test_pounds_are_read_back_to_what_is_shown_of_them(mass_kg: float) -> None:
    back = read_number(number_text(mass_kg, MASS, us=True), MASS, us=True)
    assert back == pytest.approx(mass_kg, abs=0.5e-3 * 0.45359237 * 1.001)


def test_nothing_is_shown_as_nothing() -> None:
    facts = field_at("stations.0.radio.rf_max_w")
    assert number_text(None, facts, us=False) == ""
    assert read_number("", facts, us=False) is None


def test_text_of_numbers() -> None:
    assert plain(1.50, 2) == "1.5"
    assert plain(-0.0001, 2) == "0"
    assert fixed(-1.25, 1) in ("−1.2", "−1.3")
    assert fixed(-0.001, 1) == "0.0"
    assert fixed(-1.2, 2, "A") == f"−1.20{NBSP}A"
    assert quantity(5.2, "kg", 2) == f"5.2{NBSP}kg"
    assert quantity(1.0, "kg", 2, us=True) == f"2.2{NBSP}lb"
    assert [step_of(x) for x in (12.0, 0.16, 100.0, 0.0)] == pytest.approx([1, 0.01, 10, 1])


@pytest.mark.parametrize(("typed", "held"), [("12", 12), ("7,5", 7), ("7.5", 7), ("1,0", 1)])
def test_a_whole_number_takes_no_digit_behind_a_comma_for_one_before_it(
    qtbot: QtBot, typed: str, held: int
) -> None:
    box = WholeBox()
    qtbot.addWidget(box)
    box.selectAll()
    QTest.keyClicks(box, typed)
    box.interpretText()
    assert box.value() == held


# By hand from the definitions of pound, foot, mile and the scale of Fahrenheit; "~" is
# the space that holds a unit to its number.
SENTENCES = [
    ("It adds 1.3~kg", "It adds 2.9 lb"),
    ("3 to 12~°C", "37 to 54 °F"),
    ("between −3 and 12~°C", "between 27 and 54 °F"),
    ("cells below −5~°C.", "cells below 23 °F."),
    ("cells below -5~°C.", "cells below 23 °F."),
    ("down to −40~°C; below 0~°C it", "down to −40 °F; below 32 °F it"),
    ("coldest 3.5~°C", "coldest 38.3 °F"),
    ("This lead of 2~m has", "This lead of 6.6 ft has"),
    ("1250~m higher", "4101 ft higher"),
    ("80~km away, in 5~min", "50 mi away, in 5 min"),
    ("a wind of 3.5~m/s", "a wind of 7.8 mph"),
    # More digits where fewer would hide, or turn about, what is compared.
    ("99.6~kg, not 99.8~kg", "219.6 lb, not 220 lb"),
    ("1.81~kg instead of 1.8~kg", "3.99 lb instead of 3.97 lb"),
    ("low of 12.1~°C is above the high of 12~°C", "low of 53.8 °F is above the high of 53.6 °F"),
    # A difference of temperatures is not shifted by 32.
    ("some 6~°C colder; 6~°C there", "some 11 °F colder; 43 °F there"),
]
UNTOUCHED = [
    "5~min at 5~mΩ", "2.5~mm²", "0.4~%/°C and 0.004~1/°C", "800~W/m²", "12~V to 5~A",
    "Light mast, 6 m", "80 m at 21:00", "75~°C insulation", "3~°C/W",
]  # fmt: skip


@pytest.mark.parametrize(("said", "shown"), SENTENCES)
def test_quantities_of_a_sentence_are_shown_in_us_units(said: str, shown: str) -> None:
    said = said.replace("~", NBSP)
    assert spaced(sentence_text(said, us=True)) == shown
    assert NBSP in sentence_text(said, us=True)
    assert sentence_text(said, us=False) == said


@pytest.mark.parametrize("said", UNTOUCHED)
def test_what_hangs_on_other_units_or_on_none_stays(said: str) -> None:
    said = said.replace("~", NBSP)
    assert sentence_text(said, us=True) == said


@given(st.integers(1, 9999), st.integers(1, 9999), st.sampled_from(["kg", "m", "km", "m/s", "°C"]))
def test_of_two_quantities_the_greater_stays_so(one: int, other: int, unit: str) -> None:
    texts = [f"{each / 100:g}{NBSP}{unit}" for each in (one, other)]
    shown = [
        float(each.split(NBSP)[0]) for each in sentence_text("|".join(texts), us=True).split("|")
    ]
    assert (shown[0] < shown[1], shown[0] > shown[1]) == (one < other, one > other)


def test_what_was_entered_gains_no_digits_in_another_unit() -> None:
    # 0.85 kg / 0.45359237 = 1.8739 lb, 0.18 kg = 0.3968 lb; two digits were entered.
    assert entered_texts((0.85, 0.18), shown_as(MASS, us=True)) == ("1.9", "0.4")
    assert spaced(entered_quantity(0.85, "kg", 2, us=True)) == "1.9 lb"
    assert spaced(entered_quantity(0.85, "kg", 2)) == "0.85 kg"
    # Two that differ do so in any unit; what was typed in pounds comes back as it was typed.
    assert entered_texts((0.85, 0.86), shown_as(MASS, us=True)) == ("1.87", "1.9")
    assert entered_texts((1.87 * 0.45359237,), shown_as(MASS, us=True)) == ("1.87",)
    assert entered_texts((0.1234567,), shown_as(CURRENT, us=True)) == ("0.1234567",)
