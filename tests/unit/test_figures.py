"""Numbers, durations and times as they stand in a sentence."""

from __future__ import annotations

from datetime import UTC, datetime
from math import inf
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from model.support.figures import (
    NBSP,
    amount,
    apart,
    change,
    day_and_time,
    duration,
    entered,
    in_100_trips,
    number,
    percent,
    short_in_10,
    short_span_in_10,
    span,
    told,
    unbroken,
)
from tests.plain import plain

BERLIN = ZoneInfo("Europe/Berlin")


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0.8376, "0.838"), (0.16, "0.16"), (12.649, "12.6"), (1234.0, "1230"), (999.6, "1000"),
        (0.0, "0"), (-4.0, "−4"), (0.000123, "0.000123"), (100.0, "100"), (inf, "without end"),
    ],
)  # fmt: skip
def test_three_digits_count_and_none_stands_idle(value: float, text: str) -> None:
    assert number(value) == text


@given(st.floats(1e-6, 1e6))
def test_a_rounded_number_lies_within_half_a_unit_of_its_third_digit(value: float) -> None:
    assert abs(float(number(value)) - value) <= value * 0.005 * (1 + 1e-9)


def test_a_unit_hangs_on_its_number() -> None:
    assert amount(0.8376, "A", 2) == f"0.84{NBSP}A"
    assert amount(35.0, "°") == "35°"
    assert entered(13.85, "V") == f"13.85{NBSP}V"
    assert percent(0.484) == f"48{NBSP}%"
    assert span(3.0, 12.0, "A") == f"3 to 12{NBSP}A"
    assert span(3.001, 3.002, "A") == f"3{NBSP}A"


def test_what_is_compared_is_told_apart() -> None:
    assert [plain(text) for text in apart((15.94, 15.9), "V")] == ["15.94 V", "15.9 V"]
    assert [plain(text) for text in apart((16.7, 15.9), "V")] == ["16.7 V", "15.9 V"]
    assert len(set(apart((5.0, 5.0), "V"))) == 1


@pytest.mark.parametrize(
    ("loose", "bound"),
    [
        ("at 13.8 V ± 15 % or AWG 12", "at 13.8_V ± 15_% or AWG_12"),
        ("1000 W/m² and 25 °C", "1000_W/m² and 25_°C"),
        ("5 minutes, 2 Volts, 4 cells", "5 minutes, 2 Volts, 4 cells"),
        ("3 mm² for 2 m of lead", "3_mm² for 2_m of lead"),
    ],
)
def test_units_in_a_sentence_cannot_part_from_their_numbers(loose: str, bound: str) -> None:
    assert unbroken(loose).replace(NBSP, "_") == bound


def test_durations_are_said_to_the_minute() -> None:
    assert plain(duration(11 + 40 / 60)) == "11 h 40 min"
    assert plain(duration(0.75)) == "45 min"
    assert plain(duration(3.0)) == "3 h"
    # 59 min 40 s is an hour, never 60 minutes.
    assert plain(duration(59.67 / 60)) == "1 h"
    assert plain(change(3.2)) == "+3 h 12 min"
    assert plain(change(-3.2)) == "−3 h 12 min"
    assert plain(change(0.0)) == "0 min"


@pytest.mark.parametrize(
    ("minute", "said"), [("04:07", "04:10"), ("04:04", "04:00"), ("23:56", "00:00")]
)
def test_a_guessed_time_is_told_to_ten_minutes(minute: str, said: str) -> None:
    at = datetime.fromisoformat(f"2027-06-12T{minute}").replace(tzinfo=BERLIN)
    assert f"{told(at, about=True):%H:%M}" == said
    assert told(at, about=False) == at


def test_a_repeated_hour_stays_the_one_it_is() -> None:
    # The hour from 02:00 to 03:00 comes twice on 31 Oct 2027, as of EU Directive 2000/84/EC.
    second = datetime(2027, 10, 31, 1, 27, tzinfo=UTC).astimezone(BERLIN)
    assert day_and_time(told(second, about=True), 2) == "Sun 02:30 UTC+1"
    first = datetime(2027, 10, 31, 0, 57, tzinfo=UTC).astimezone(BERLIN)
    assert day_and_time(told(first, about=True), 2) == "Sun 02:00 UTC+1"


def test_a_long_run_names_the_date() -> None:
    at = datetime(2027, 6, 13, 6, 54, tzinfo=BERLIN)
    assert day_and_time(at, 6) == "Sun 06:54"
    assert day_and_time(at, 7) == "Sun 13 Jun 06:54"


@pytest.mark.parametrize(
    ("share", "words"),
    [
        (1.0, "more than 99 of 100 trial trips"),
        (0.0, "fewer than 1 of 100 trial trips"),
        (0.957, "about 96 of 100 trial trips"),
    ],
)
def test_a_sample_says_neither_all_nor_none(share: float, words: str) -> None:
    assert in_100_trips(share) == words


@pytest.mark.parametrize(
    ("share", "words"), [(0.0, "<1 in 10"), (0.06, "1 in 10"), (0.5, "5 in 10"), (1.0, ">9 in 10")]
)
def test_odds_in_a_table_are_neither_all_nor_none(share: float, words: str) -> None:
    assert short_in_10(share) == words
    assert short_span_in_10(0.82, 0.99) == "8 to >9"
