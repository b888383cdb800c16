"""Sentences and cells of a group: each follows from what stands beside it."""

from __future__ import annotations

from datetime import date

from model.group.after_action import after_action
from model.group.drill import drill
from model.group.group_run import run_group
from model.group.group_words import (
    EXACT_WORDS,
    GREEDY_WORDS,
    cells_of,
    drill_words,
    end_words,
    hours_text,
    net_words,
    reserve_words,
    spares_words,
)
from model.group.shared_odds import GroupOdds
from model.group.spares import allot_spares
from model.odds.shares import Share
from tests.unit.group_makers import battery, group_of, kit, post

SPARE = {"name": "box", "where": "Base", "battery": battery(15)}


def plain(words: str) -> str:
    return words.replace("\N{NO-BREAK SPACE}", " ")


def test_a_row_says_what_ends_and_when() -> None:
    result = run_group(group_of([kit(10), kit(60)]))
    first, second = result.posts
    assert end_words(first, first.first_end) == "receive about Sat 04:00"
    assert end_words(second, second.first_end) == "none"
    cells = [plain(cell) for cell in cells_of(second)]
    assert cells == ["02", "post", "Base", "none", "none", "", "60 %", "12 Ah", "100 %", "0 kg"]


def test_times_of_guesses_are_told_to_ten_minutes_and_those_of_measurements_to_one() -> None:
    measured = {"sources": {"receive_a": {"from": "measured"}}}
    kits = [kit(10, 0.52), kit(10, 0.52, radio=measured)]
    result = run_group(group_of(kits, spares=[SPARE, SPARE]))
    # 10 Ah over .52 A are 19 h 14 min: Saturday 03:14.
    assert [end_words(row, row.first_end) for row in result.posts] == [
        "receive about Sat 03:10", "receive Sat 03:13",
    ]  # fmt: skip
    orders = [plain(words) for words in spares_words(result, allot_spares(result))][:2]
    assert ["by Sat 03:10:" in orders[0], "by Sat 03:13:" in orders[1]] == [True, True]


def test_spares_are_told_with_the_posts_that_then_last() -> None:
    all_last = run_group(group_of([kit(10), kit(60)], spares=[SPARE]))
    assert [plain(words) for words in spares_words(all_last, allot_spares(all_last))] == [
        "Spare 1 (box) to post 01, Base, by Sat 04:00: it is kept at that place.",
        "As planned, all 2 posts then last to the end.",
        EXACT_WORDS,
    ]
    many = run_group(group_of([kit(10)], spares=[{**SPARE, "count": 13}]))
    assert GREEDY_WORDS in list(spares_words(many, allot_spares(many)))
    posts = [post(1, 1, place="Nowhere"), post(2, 2)]
    far = run_group(group_of([kit(10), kit(60)], posts, spares=[SPARE]))
    assert list(spares_words(far, allot_spares(far)))[:2] == [
        "As planned, 1 of 2 posts then last. Post 01 does not.",
        "No route leads from any spare to post 01.",
    ]
    none = run_group(group_of([kit(10)]))
    assert list(spares_words(none, allot_spares(none))) == [
        "As planned, 0 of 1 posts then last. Post 01 does not."
    ]


def test_a_spare_sets_off_as_long_before_as_its_way_takes_in_every_clock() -> None:
    # The clocks go back at 03:00 on 31 October 2027 (rule of the European Union): 10 Ah over .5 A
    # are 20 h from 08:00, so 03:00 after the change; 3 h before it is 01:00 before the change.
    posts = [post(1, 1, place="Hill"), post(2, 2)]
    way = [{"between": ["Base", "Hill"], "hours": 3.0}]
    day = {"date": date(2027, 10, 30)}
    result = run_group(group_of([kit(10), kit(60)], posts, spares=[SPARE], routes=way, day=day))
    assert plain(next(iter(spares_words(result, allot_spares(result))))) == (
        "Spare 1 (box) to post 01, Hill, by Sun 03:00: leave Base by Sun 01:00."
    )


def test_posts_that_last_below_their_reserve_are_named() -> None:
    kits = [kit(60), kit(60, reserve_fraction=0.8), kit(10, reserve_fraction=0.8)]
    # 12 Ah over .5 A: 24 h. The third does not last, and is told apart.
    assert plain(reserve_words(run_group(group_of(kits)))) == (
        "Lasting as planned, but below the reserve: post 02 from about Sat 08:00."
    )
    assert reserve_words(run_group(group_of([kit(60)]))) == ""


def test_hours_are_never_told_longer_than_they_are() -> None:
    told = [plain(hours_text(hours_h)) for hours_h in (116.9, 1.0, None)]
    assert told == ["116 h", "1 h", "over 14 d"]


def test_a_drill_without_loss_says_so() -> None:
    whole = group_of([kit(60), kit(60)])
    assert list(drill_words(drill(whole, ["post02"]))) == [
        "Without post02.",
        "Every other post that lasted with its spares still does.",
    ]


def test_a_part_that_was_taken_away_is_not_carried() -> None:
    whole = group_of([kit(60, battery={"mass_kg": 5.0}, radio={"mass_kg": 2.0})])
    for without, left_kg in (([], 7.0), (["post01.battery"], 2.0), (["post01.radio"], 5.0)):
        assert drill(whole, without).result.posts[0].mass_kg == left_kg


def test_the_net_names_whom_it_counts() -> None:
    shares = tuple(Share(value, value, value) for value in (0.9, 0.7, 0.5))
    for control, needed, words in (
        ("01", 0, "net control: about 9 in 10"),
        ("01", 1, "net control and at least 1 other post: about 7 in 10"),
        ("01", 9, "net control and at least 2 other posts: about 5 in 10"),
        (None, 2, "at least 2 posts: about 5 in 10"),
    ):
        result = run_group(group_of([kit(60)], posts_needed=needed))
        odds = GroupOdds(100, "forecast", 1, (), control, shares)
        assert net_words(result, odds).startswith(f"On the air in all dark hours, {words}")


def test_a_post_without_log_run_or_cause_is_told_so() -> None:
    fair = [{"day": 1, "at": "20:00", "used_ah": 6.0}]
    late = [{"day": 9, "at": "20:00", "used_ah": 6.0}]
    wrong = {"supply_min_v": 15.0, "supply_max_v": 12.0}
    kits = [kit(60, readings=fair), kit(60, readings=late), kit(60), kit(60, radio=wrong)]
    found = after_action(run_group(group_of(kits, day={"days": 1})))
    lines = [each.line for each in found.posts]
    assert lines[0].startswith("Post 01: all is about as entered (")
    assert lines[1:] == [
        "Post 02: its log says nothing of this run.",
        "Post 03: no log.",
        "Post 04: not run.",
    ]
    assert found.across == ("1 of 4 posts have a log that can be read.",)
    nothing = after_action(run_group(group_of([kit(60)], day={"days": 1})))
    assert nothing.across == ()


def test_a_log_of_several_posts_is_nobodys_own() -> None:
    fair = [{"day": 1, "at": "20:00", "used_ah": 6.0}]
    whole = group_of([kit(60, readings=fair)], [post(1, 1), post(2, 1)], day={"days": 1})
    assert [each.line for each in after_action(run_group(whole)).posts] == [
        f"Post {number}: its log stands with a station of several posts; give it one of its own."
        for number in ("01", "02")
    ]


def test_more_sun_or_less_at_most_posts_is_the_weather() -> None:
    lit = {"panel": {"rated_w": 60.0}, "controller": {"kind": "mppt"}, "start_fraction": 0.5}
    dim = [
        {"day": 1, "at": at, "panel_a": amps, "used_ah": used}
        for at, amps, used in (("10:00", 0.6, 20.4), ("12:00", 0.9, 20.1), ("14:00", 0.8, 19.6),
                               ("16:00", 0.4, 19.4))
    ]  # fmt: skip
    kits = [kit(40, readings=dim, **lit), kit(40, readings=dim, **lit)]
    found = after_action(run_group(group_of(kits, day={"days": 1})))
    assert any(line.startswith("The sun at posts 01 and 02: about ") for line in found.across)
    assert found.across[-1].endswith("the weather is behind it.")
