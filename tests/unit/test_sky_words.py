"""The sky in words against the classes of an aerodrome report."""

from __future__ import annotations

import pytest

from model.sky.cloud_words import SKY_WORDS, okta_of, sky_range, sky_word, with_sky, with_sky_on

# ICAO Annex 3 and WMO-No. 306 (FM 15 METAR), from memory: sky clear 0, few 1 to 2, scattered
# 3 to 4, broken 5 to 7, overcast 8 eighths.
REPORTED = {0: 0, 1: 1, 2: 1, 3: 2, 4: 2, 5: 3, 6: 3, 7: 3, 8: 4}


@pytest.mark.parametrize(("okta", "rank"), REPORTED.items())
def test_every_whole_number_of_eighths_has_the_word_of_its_class(okta: int, rank: int) -> None:
    assert sky_word(float(okta)) == SKY_WORDS[rank]


def test_a_number_between_two_eighths_has_no_word() -> None:
    assert [sky_word(okta) for okta in (0.5, 2.5, 7.9)] == [None, None, None]


@pytest.mark.parametrize("word", SKY_WORDS)
def test_a_word_stands_for_a_number_of_its_own_class(word: str) -> None:
    low, high = sky_range(word)
    assert low <= okta_of(word) <= high
    assert sky_word(okta_of(word)) == word


def test_more_cloud_never_has_a_word_of_less() -> None:
    numbers = [okta_of(word) for word in SKY_WORDS]
    assert numbers == sorted(numbers)
    assert [sky_range(word)[0] for word in SKY_WORDS[1:]] == [
        sky_range(word)[1] + 1 for word in SKY_WORDS[:-1]
    ]


def test_one_word_for_all_days_is_one_number() -> None:
    assert with_sky((2.0, 3.0), "overcast") == (8.0,)
    assert with_sky((1.0,), "clear") == (0.0,)


def test_a_word_that_is_there_already_leaves_the_numbers() -> None:
    assert with_sky((1.0, 2.0), "mostly clear") == (1.0, 2.0)
    assert with_sky((3.0,), "mixed") == (3.0,)
    assert with_sky_on((2.0, 3.0), "mixed", 1, 2) == (2.0, 3.0)
    assert with_sky_on((3.0,), "mixed", 1, 2) == (3.0,)


def test_another_sky_on_one_day_leaves_the_others() -> None:
    assert with_sky_on((2.0,), "overcast", 1, 3) == (2.0, 8.0, 2.0)
    assert with_sky_on((2.5, 1.0, 7.0), "clear", 0, 3) == (0.0, 1.0, 7.0)
