"""What the words for a day's sky stand for, and how a sky is typed."""

from __future__ import annotations

import pytest

from model.scenario.climate import Climate
from model.scenario.daily import INDEX_LIMIT, SKY_WORDS
from model.sky.cloud_words import (
    DARKEST_INDEX,
    WORD_CLASSES,
    cover_class,
    index_of,
    is_scaled,
    rain_class,
    sky_from_text,
    spreads_of,
    with_sky,
)

# The table of whole days as the design of the project states it: mean, sd within, sd between; the
# last of clear days, stated as .03 from five files, is that of thirteen.
TABLE = [
    (0.0, 1.03, 0.04, 0.05), (0.9, 1.03, 0.04, 0.05), (1.0, 0.95, 0.06, 0.05),
    (2.9, 0.95, 0.06, 0.05), (3.0, 0.84, 0.09, 0.09), (5.0, 0.69, 0.14, 0.09),
    (6.9, 0.69, 0.14, 0.09), (7.0, 0.55, 0.15, 0.09), (7.8, 0.40, 0.11, 0.08),
    (8.0, 0.40, 0.11, 0.08),
]  # fmt: skip


@pytest.mark.parametrize(("okta", "index", "within", "between"), TABLE)
def test_a_days_mean_cover_has_the_row_of_its_class(okta, index, within, between):
    found = cover_class(okta)
    assert (found.index, found.sd_within, found.sd_between) == (index, within, between)
    assert found.sd == pytest.approx((within**2 + between**2) ** 0.5)


@pytest.mark.parametrize("okta", [-0.1, 8.01, float("nan")])
def test_no_day_is_covered_by_less_than_nothing_or_more_than_all(okta):
    with pytest.raises(ValueError, match="from 0 to 8"):
        cover_class(okta)


def test_longer_rain_is_darker_and_the_word_is_the_longest():
    assert [rain_class(hours).index for hours in (1, 2.9, 3, 5, 6, 12)] == [
        0.54, 0.54, 0.46, 0.46, 0.33, 0.33,
    ]  # fmt: skip
    assert WORD_CLASSES["rain"] == rain_class(6)
    with pytest.raises(ValueError, match="at least 1 hour"):
        rain_class(0.5)


def test_each_word_is_darker_than_the_one_before():
    indices = [index_of(word) for word in SKY_WORDS]
    assert indices == sorted(indices, reverse=True)
    assert indices == [1.03, 0.95, 0.84, 0.69, 0.40, 0.33]


def climate(loss_scale, **scales):
    months = {"low_c": [0.0] * 12, "high_c": [9.0] * 12, "clearness": [0.4] * 12}
    return Climate.model_validate(months | {"loss_scale": loss_scale} | scales)


def test_a_climate_scales_clear_days_and_the_losses_of_words_and_never_a_number():
    for word in SKY_WORDS:
        assert index_of(word, climate(1.0)) == WORD_CLASSES[word].index
    assert index_of("mixed", climate(1.25)) == pytest.approx(1.03 - 1.25 * 0.19)
    assert index_of("overcast", climate(0.5)) == pytest.approx(1.03 - 0.5 * 0.63)
    assert index_of("clear", climate(2.0)) == 1.03
    hazy = climate(1.25, clear_scale=0.9)
    assert index_of("clear", hazy) == pytest.approx(0.9 * 1.03)
    assert index_of("mixed", hazy) == pytest.approx(0.9 * 1.03 - 1.25 * 0.19)
    assert index_of("clear", climate(1.0, clear_scale=1.15)) <= INDEX_LIMIT
    assert index_of(0.84, hazy) == 0.84
    assert index_of("rain", climate(3.0)) == DARKEST_INDEX


def test_a_climate_spreads_the_days_of_a_word_as_its_own_days_do():
    assert spreads_of("mixed") == spreads_of("mixed", climate(1.0)) == (0.09, 0.09)
    assert spreads_of("mixed", climate(1.2, spread_scale=0.5)) == pytest.approx((0.045, 0.03))
    # A typed index is not scaled, and spreads like the class nearest to it.
    assert spreads_of(0.83, climate(1.2, spread_scale=0.5)) == (0.09, 0.09)
    assert not is_scaled(None)
    assert not is_scaled(climate(1.0))
    assert is_scaled(climate(1.0, clear_scale=0.9))
    assert is_scaled(climate(1.0, spread_scale=0.9))


@pytest.mark.parametrize(
    ("typed", "sky"),
    [
        ("mixed", "mixed"), (" Mostly  Cloudy ", "mostly cloudy"), ("0,84", 0.84), ("1.2", 1.2),
        ("5/8", 0.69), ("7,9 / 8", 0.40), ("9/8", None), ("1.3", None), ("-0.1", None),
        ("nan", None), ("sunny", None), ("", None),
    ],
)  # fmt: skip
def test_a_sky_is_typed_as_a_word_an_index_or_eighths(typed, sky):
    assert sky_from_text(typed) == sky


def test_eighths_lose_as_much_as_a_word_does_at_the_place():
    assert sky_from_text("4/8", climate(1.25)) == round(index_of("mixed", climate(1.25)), 2)
    assert sky_from_text("0/8", climate(1.25)) == 1.03
    assert sky_from_text("0/8", climate(1.25, clear_scale=0.9)) == 0.93
    assert sky_from_text("0.84", climate(1.25)) == 0.84


def test_another_sky_on_one_date_leaves_the_others():
    assert with_sky(("clear",), "rain", 1, 3) == ("clear", "rain", "clear")
    assert with_sky(("clear",), "rain", 2, 3) == ("clear", "clear", "rain")
    assert with_sky(("clear", "rain", "clear"), "clear", 1, 3) == ("clear",)
    assert with_sky((0.5, "mixed"), "mixed", 0, 3) == ("mixed",)
    # What no date of the run uses stays where it is.
    assert with_sky(("clear", "mixed", "rain"), "overcast", 0, 1) == ("overcast", "mixed", "rain")
