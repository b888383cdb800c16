"""The small form of the judged trial: see ``field_truths`` for the long one, run by command."""

from __future__ import annotations

import pytest

from tests.laws.field_truths import FIXED, judge_fixed, judge_prior

SEEDS = 20


def test_ends_lie_in_their_interval_and_none_is_foretold_late() -> None:
    # Of 20 trips 16 are expected within; a right interval has fewer than 11 in 1 of 400.
    judged = [judge_prior(number) for number in range(SEEDS)]
    assert sum(0.1 <= each.place <= 0.9 for each in judged) >= 11
    assert sum(each.is_late for each in judged) <= 1


@pytest.mark.parametrize("name", FIXED)
def test_the_true_cause_stands_first_once_told_and_keeps_its_odds_before(name: str) -> None:
    # Four seeds of each of five truths: 20 in all.
    judged = [judge_fixed(name, number) for number in range(SEEDS // len(FIXED))]
    assert sum(each.is_first for each in judged) >= 3
    assert sum(each.keeps_odds for each in judged) >= 3
    assert not any(each.is_late for each in judged)
