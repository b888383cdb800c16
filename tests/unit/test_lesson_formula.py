"""Sums in lessons: order of signs, names, functions, and what is refused."""

from __future__ import annotations

from contextlib import suppress
from math import log10

import pytest
from hypothesis import given
from hypothesis import strategies as st

from model.lessons.formula import FormulaError, Known, evaluate, names_in
from model.lessons.text import filled, number_words, unit_of
from tests.plain import plain

NUMBERS: dict[str, Known] = {
    "stations.0.load_ah": 37.5, "a": 2.0, "at.06:30+1.fraction": 0.25, "none": None,
    "word": "empty",
}  # fmt: skip


def look_up(name: str) -> Known:
    if name not in NUMBERS:
        raise FormulaError(f"there is no {name} here")
    return NUMBERS[name]


@pytest.mark.parametrize(
    ("formula", "value"),
    [
        ("1 + 2 * 3", 7.0),
        ("(1 + 2) * 3", 9.0),
        ("8 / 4 / 2", 1.0),
        ("5 - 3 - 1", 1.0),
        ("-a * 3", -6.0),
        ("stations.0.load_ah - 0.5", 37.0),
        ("at.06:30+1.fraction", 0.25),
        ("at.06:30+1.fraction+1", 1.25),
        ("10 * log10(100 / 5)", 10 * log10(20)),
        ("max(1, min(5, a))", 2.0),
        ("abs(1 - a) + sqrt(9)", 4.0),
    ],
)
def test_a_formula_follows_the_usual_order(formula: str, value: float) -> None:
    assert evaluate(formula, look_up) == pytest.approx(value)


@pytest.mark.parametrize(
    ("formula", "words"),
    [
        ("", "is empty"),
        ("1 +", "ends too early"),
        ("1 / (a - 2)", "divides by nothing"),
        ("(1 + 2", 'a ")" was expected'),
        ("1 2", '"2" was not expected'),
        ("sqrt(0 - 1)", "sqrt has no value there"),
        ("sqrt(1, 2)", "takes 1 numbers, got 2"),
        ("none + 1", "none has no value here"),
        ("word * 2", "word is no number"),
        ("missing", "there is no missing here"),
        ("1; import os", "cannot be read"),
        ("(" * 100 + "1" + ")" * 100, "nested too deeply"),
    ],
)
def test_what_cannot_be_worked_out_is_said(formula: str, words: str) -> None:
    with pytest.raises(FormulaError) as refused:
        evaluate(formula, look_up)
    assert words in str(refused.value)


@given(st.text(max_size=60))
def test_any_text_gives_a_value_or_a_plain_refusal(text: str) -> None:
    with suppress(FormulaError):
        evaluate(text, look_up)


def test_names_are_found_and_functions_are_not() -> None:
    assert names_in("sqrt(stations.0.load_ah) + a") == ("stations.0.load_ah", "a")


@pytest.mark.parametrize(
    ("name", "unit"),
    [
        ("stations.0.load_ah", "Ah"),
        ("stations.0.by_use_ah.receive", "Ah"),
        ("stations.0.share.transmit", "%"),
        ("stations.0.clocks.receive.hours", "h"),
        ("stations.0.radio.receive_a", "A"),
        ("stations.0.lead_drop_v.0", "V"),
        ("a * 2", ""),
    ],
)
def test_the_unit_of_a_name_follows_from_it(name: str, unit: str) -> None:
    assert unit_of(name) == unit


def test_texts_are_filled_with_units_and_decimals() -> None:
    text = filled(
        "{stations.0.load_ah} is {stations.0.load_ah / 100|%} of 100; {none}; {a|A|2}",
        lambda formula: evaluate(formula, look_up), str,
    )  # fmt: skip
    assert plain(text) == "37.5 Ah is 38 % of 100; never; 2.00 A"


def test_a_brace_that_belongs_to_no_number_is_refused() -> None:
    with pytest.raises(FormulaError):
        filled("half {open", lambda formula: evaluate(formula, look_up), str)


def test_minus_nothing_is_written_without_a_sign() -> None:
    assert plain(number_words(-0.001, "A", 1)) == "0.0 A"
    assert plain(number_words(-1.5, "A", 1)) == "−1.5 A"
