"""The small form of the judged trial: see ``field_truths`` for the long one, run by command."""

from __future__ import annotations

from tests.laws.field_truths import FIXED, judge_fixed, judge_prior


def test_ends_lie_in_their_interval_and_none_is_foretold_late() -> None:
    # Of 12 trips 9 or 10 are expected within; a right interval has fewer than 6 in 1 of 250.
    judged = [judge_prior(number) for number in range(12)]
    assert sum(0.1 <= each.place <= 0.9 for each in judged) >= 6
    assert sum(each.is_late for each in judged) <= 1


def test_the_true_cause_stands_first_once_told_and_keeps_its_odds_before() -> None:
    # Two seeds of each of five truths.
    judged = [judge_fixed(name, number) for name in FIXED for number in range(2)]
    assert sum(each.is_first for each in judged) >= 8
    assert sum(each.keeps_odds for each in judged) >= 9
    assert not any(each.is_late for each in judged)
