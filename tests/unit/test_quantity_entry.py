"""Entry of what people have in hand, against factors that hold by definition."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from model.editing.units import EntryError, read_entry
from model.scenario.station import Battery
from model.station.chemistry import nominal_v

# NIST Handbook 44 (2024), appendix C: the pound is 0.453 592 37 kg, the ounce a sixteenth of it,
# the foot 0.3048 m, the inch 2.54 cm, the mile 5280 ft, all exact; the nautical mile is 1852 m.
LB = 0.45359237


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("850 mA", "A", 0.85),
        ("850mA", "A", 0.85),
        ("2,5 A", "A", 2.5),
        ("2.5", "A", 2.5),
        ("0,850 A", "A", 0.85),
        ("11 W at 12.8 V", "A", 11 / 12.8),
        ("11 W @ 12,8 V", "A", 11 / 12.8),
        ("1.5e3 mA", "A", 1.5),
        ("1 200 mA", "A", 1.2),
        ("1.234,5 mA", "A", 1.2345),
        ("1,234.5 mA", "A", 1.2345),
        ("−0.4", "dBi", -0.4),
        ("15 Ah", "Ah", 15),
        ("20 ah", "Ah", 20),
        ("2600 mAh", "Ah", 2.6),
        ("192 Wh at 12.8 V", "Ah", 15),
        ("45 Wh", "Wh", 45),
        ("12000 mAh at 3.7 V", "Wh", 44.4),
        ("0.9 A at 13.8 V", "W", 12.42),
        ("620 g", "kg", 0.62),
        ("1.4 lb", "kg", 1.4 * LB),
        ("12 oz", "kg", 12 * LB / 16),
        ("1 lb 4 oz", "kg", 1.25 * LB),
        ("5 ft", "m", 1.524),
        ("90 mi", "km", 90 * 1.609344),
        ("5 ft 6 in", "m", 5.5 * 0.3048),
        ("5' 6\"", "m", 5.5 * 0.3048),
        ("40 cm", "m", 0.4),
        ("2.5 mm2", "mm²", 2.5),
        ("2,5 mm²", "mm²", 2.5),
        ("25 mΩ", "ohm", 0.025),
        ("0.002 ohm", "mΩ", 2),
        ("90 %", "", 0.9),
        ("0.9", "", 0.9),
        ("23 °F", "°C", -5),
        ("-5 C", "°C", -5),
        ("7100 kHz", "MHz", 7.1),
        ("90 s", "h", 0.025),
        ("2 min", "s", 120),
        ("10 kn", "m/s", 18520 / 3600),
    ],
)
def test_an_entry_is_read_in_the_unit_of_its_field(text: str, unit: str, value: float) -> None:
    entry = read_entry(text, unit)
    assert entry.value == pytest.approx(value, rel=1e-12)
    assert entry.unit == unit
    assert entry.sentence.endswith(".")


def test_gauges_are_those_of_the_standard() -> None:
    # ASTM B258-18, table 1: AWG 12 is 3.31 mm², AWG 0 is 53.5 mm², AWG 36 is 0.0127 mm².
    assert read_entry("AWG 12", "mm²").value == pytest.approx(3.31, abs=0.005)
    assert read_entry("0 awg", "mm²").value == pytest.approx(53.5, abs=0.05)
    assert read_entry("36 gauge", "mm²").value == pytest.approx(0.0127, abs=0.00005)
    with pytest.raises(EntryError, match="from 0 to 40"):
        read_entry("AWG 99", "mm²")


def test_watt_hours_become_ampere_hours_at_the_battery_s_nominal_volts() -> None:
    four = Battery(chemistry="LFP", capacity_ah=1.0)
    assert nominal_v(four) == pytest.approx(12.8)
    entry = read_entry("192 Wh", "Ah", supply_v=nominal_v(four))
    assert entry.value == pytest.approx(15)
    assert entry.sentence == "192 Wh at 12.8 V is 15 Ah."
    three = Battery(chemistry="Li-ion", capacity_ah=1.0, cells=3)
    assert nominal_v(three) == pytest.approx(11.1)


def test_ampere_hours_counted_at_another_voltage_are_not_taken_as_they_stand() -> None:
    # 20 Ah at 3.7 V is 74 Wh, and 74 Wh at 12.8 V is 5.78 Ah.
    entry = read_entry("20000 mAh at 3.7 V", "Ah", supply_v=12.8)
    assert entry.value == pytest.approx(20 * 3.7 / 12.8)
    assert entry.sentence == "20000 mAh at 3.7 V is 74 Wh, or 5.781 Ah at 12.8 V."


@pytest.mark.parametrize(
    ("text", "unit", "words"),
    [
        ("850 mA", "A", "850 mA is 0.85 A."),
        ("2,5 A", "A", "2.5 A."),
        ("11 W at 12.8 V", "A", "11 W at 12.8 V is 0.8594 A."),
        ("1.4 lb", "kg", "1.4 lb is 0.635 kg."),
        ("90 %", "", "90 % is 0.9."),
        ("23 °F", "°C", "23 °F is −5 °C."),
    ],
)
def test_the_sentence_says_what_was_understood(text: str, unit: str, words: str) -> None:
    assert read_entry(text, unit).sentence == words


def test_a_bare_number_is_in_the_unit_shown() -> None:
    assert read_entry("2", "kg", bare="lb").value == pytest.approx(2 * LB)
    assert read_entry("50", "°C", bare="°F").value == pytest.approx(10)
    assert read_entry("90", "", bare="%").value == pytest.approx(0.9)


@pytest.mark.parametrize(
    ("text", "unit", "words"),
    [
        ("banana", "A", "is not understood"),
        ("", "A", "Nothing is written"),
        ("5 kg", "A", "is not understood"),
        ("5 A", "Ah", "is not understood"),
        ("11 W", "A", "needs its voltage"),
        ("192 Wh", "Ah", "needs its voltage"),
        ("11 W at 0 V", "A", "is not understood"),
        ("11 W at -5 V", "A", "is not understood"),
        ("11 W at 3 A", "A", "is not understood"),
        ("11 W at 12 V at 13 V", "A", "is not understood"),
        ("5 A at", "A", "is not understood"),
        ("2 A 3 W", "A", "is not understood"),
        ("5 5", "A", "is not a number"),
        ("1..2 A", "A", "is not a number"),
        ("1,200 mA", "A", "can be read two ways"),
        ("1e999 A", "A", "too large"),
        ("nan", "A", "is not understood"),
        ("inf A", "A", "is not understood"),
        ("5 stone", "kg", "is not understood"),
        ("=1+1", "A", "is not understood"),
        ("9" * 200, "A", "is not understood"),
        ("warm", "°C", "is not understood"),
    ],
)
def test_nonsense_is_refused_in_one_line(text: str, unit: str, words: str) -> None:
    with pytest.raises(EntryError, match=words) as refused:
        read_entry(text, unit)
    assert "\n" not in str(refused.value)
    assert len(str(refused.value)) < 120


UNITS = ["A", "Ah", "W", "kg", "mm²", "m", "ohm", "mΩ", "°C", "", "V", "dB"]


@given(st.text(max_size=30), st.sampled_from(UNITS))
def test_any_text_is_read_or_refused(text: str, unit: str) -> None:
    try:
        said = read_entry(text, unit, supply_v=12.8).value
    except EntryError as refused:
        said = len(str(refused).splitlines())
    assert math.isfinite(said)
    assert said == 1 or isinstance(said, float)


@given(st.floats(0.001, 9999), st.sampled_from([unit for unit in UNITS if unit]))
def test_a_number_in_the_field_s_own_unit_is_itself(number: float, unit: str) -> None:
    assert read_entry(f"{number!r} {unit}", unit).value == pytest.approx(number, rel=1e-12)
