"""Odds under shared skies, tonight's board, what logs say: each worked out a second way."""

from __future__ import annotations

from datetime import timedelta
from math import acos, cos, radians, sin
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from model.engine.now import from_now
from model.field.log_check import field_check
from model.group.after_action import after_action, likeliest
from model.group.board import MOMENTS, Report, nights, tonight, why_refused
from model.group.group_file import read_group
from model.group.group_run import GroupResult, run_group
from model.group.group_words import net_words, next_words
from model.group.kits import kits_of
from model.group.reach import weathers
from model.group.shared_odds import dark_steps, group_odds, search_group_odds, with_odds
from model.group.single_points import shared_points
from model.odds.odds import odds as station_odds
from model.scenario.scenario import Site
from model.sky.great_circle import distance_km
from model.sky.sun_times import sun_events
from tests.unit.group_makers import PANEL, SITE, group_of, kit, post

EXAMPLE = Path(__file__).parents[2] / "scenarios" / "group" / "autumn-exercise.toml"
LIT = {"panel": {**PANEL, "rated_w": 20.0}, "controller": {"kind": "mppt"}}


def lit_group(*ah: float, **more: Any) -> GroupResult:
    kits = [kit(each, 0.4, **LIT, **more) for each in ah]
    return run_group(group_of(kits, day={"sky": "mostly cloudy", "days": 2}))


def test_posts_alike_at_one_place_have_the_same_luck_in_every_trip() -> None:
    found = group_odds(lit_group(14, 14, 40), 60)
    one, twin, large = found.posts
    assert one is not None
    assert twin is not None
    assert large is not None
    assert np.array_equal(one.receives, twin.receives)
    assert np.array_equal(one.off_air_h, twin.off_air_h)
    assert 0 < one.receive.value < 1
    assert (large.receives | ~one.receives).all()
    assert found.weathers == 1


def test_odds_of_one_post_agree_with_those_of_its_scenario_alone() -> None:
    # Other trips are drawn there: the shares agree within the scatter of 600 trips.
    result = lit_group(14)
    alone = station_odds(result.posts[0].kit.question, 600).stations[0]
    found = group_odds(result, 600).posts[0]
    assert alone is not None
    assert found is not None
    assert found.receive.value == pytest.approx(alone.receive.value, abs=0.06)


def test_the_net_is_counted_trip_by_trip() -> None:
    result = lit_group(15, 14, 13, 1)
    found = group_odds(result, 80)
    nightly = np.array([post.all_night for post in found.posts if post is not None])
    for others, share in enumerate(found.at_least):
        held = [trip[0] and trip[1:].sum() >= others for trip in nightly.T]
        assert share.value == pytest.approx(np.mean(held))
    assert found.net_control == "01"
    assert [share.value for share in found.at_least] == sorted(
        (share.value for share in found.at_least), reverse=True
    )
    rows = with_odds(result, found).posts
    assert rows[0].odds == found.posts[0].receive if found.posts[0] else False
    assert "net control: " in net_words(result, found)


def test_a_post_that_is_not_run_is_off_the_air_in_every_trip() -> None:
    wrong = kit(10, radio={"supply_min_v": 15.0, "supply_max_v": 12.0})
    found = group_odds(run_group(group_of([kit(500), wrong])), 10)
    assert found.posts[1] is None
    assert [share.value for share in found.at_least] == [1.0, 0.0]


def test_a_search_of_odds_tells_how_far_it_is_and_can_be_left() -> None:
    search = search_group_odds(lit_group(14, 14), 10)
    shares = [next(search) for _ in range(20)]
    assert shares == sorted(shares)
    assert 0 <= shares[0] < shares[-1] <= 1
    search.close()
    with pytest.raises(ValueError, match="at least 1 sky"):
        next(search_group_odds(lit_group(14), 0))


def test_posts_out_of_reach_have_a_weather_of_their_own() -> None:
    far = {**SITE, "name": "Far", "latitude_deg": 53.0}
    posts = [post(1, 1, role="net control"), post(2, 1, place="Far")]
    day = {"sky": "mostly cloudy", "days": 2}
    kits = [kit(14, 0.4, **LIT)]
    apart = group_odds(run_group(group_of(kits, posts, places=[far], day=day)), 60)
    assert apart.weathers == 2
    whole = group_of(kits, posts, places=[far], day=day, weather_reach_km=500.0)
    together = group_odds(run_group(whole), 60)
    assert together.weathers == 1

    def agree(found: Any) -> float:
        return float(np.corrcoef(*(each.lowest_fraction for each in found.posts))[0, 1])

    # The same sky, each under its own sun: alike and yet not the same.
    assert agree(together) > 0.95 > agree(apart)
    near, north = together.posts
    assert near is not None
    assert north is not None
    assert not np.array_equal(near.lowest_fraction, north.lowest_fraction)


def site(latitude_deg: float, longitude_deg: float) -> Site:
    return Site(latitude_deg=latitude_deg, longitude_deg=longitude_deg)


def test_distances_are_those_of_the_sphere() -> None:
    # One degree of a meridian of the mean sphere is 111.19 km; a quarter of it 10007.5 km.
    assert distance_km(site(50, 10), site(51, 10)) == pytest.approx(111.195, abs=0.01)
    assert distance_km(site(0, 0), site(90, 50)) == pytest.approx(10007.5, abs=0.1)
    # By the law of cosines for sides, another formula for the same angle.
    a, b, east = radians(50.7), radians(48.1), radians(13.4 - 10.8)
    angle = acos(sin(a) * sin(b) + cos(a) * cos(b) * cos(east))
    assert distance_km(site(50.7, 10.8), site(48.1, 13.4)) == pytest.approx(6371.0 * angle)


def test_reach_goes_by_chains() -> None:
    row = [site(50, 10), site(52, 10), site(51, 10), site(58, 10)]
    assert weathers(row, 120.0) == (0, 0, 0, 1)
    assert weathers(row, 100.0) == (0, 1, 2, 3)
    assert weathers(row, 0.0) == (0, 1, 2, 3)


def test_it_is_dark_when_the_sun_is_below_civil_twilight_at_the_post() -> None:
    post_kit = kits_of(group_of([kit(10)], day={"days": 1}))[0]
    dark = dark_steps(post_kit, 10.0)
    times = {name: at for at, name in sun_events(post_kit.site, post_kit.trip)}
    hours = (times["dawn"] - times["dusk"]).total_seconds() / 3600
    assert dark.sum() / 6 == pytest.approx(hours, abs=0.2)


def test_the_board_expects_what_the_plan_has_and_restarts_from_a_report() -> None:
    # 30 Ah at .5 A from 08:00: at dusk, midnight, 06:00 so many hours times half an ampere less.
    result = run_group(group_of([kit(30), kit(100)]))
    assert nights(result) == 2
    row = tonight(result).rows[0]
    assert [cell.name for cell in row.cells] == list(MOMENTS)
    start = row.cells[0].at.replace(hour=8, minute=0, second=0, microsecond=0)
    for cell in row.cells:
        hours = (cell.at - start).total_seconds() / 3600
        assert cell.expected_ah == pytest.approx(30 - 0.5 * hours, abs=0.02)
        assert cell.reported_ah is None
    assert row.end is None
    midnight = row.cells[1].at
    # 22 Ah were expected at midnight; 15 Ah last 30 h: to Sunday 06:00.
    board = tonight(result, [Report("01", midnight, 15.0)])
    row = board.rows[0]
    assert row.cells[1].expected_ah == pytest.approx(22, abs=0.02)
    assert row.cells[1].reported_ah == 15.0
    assert row.cells[2].expected_ah == pytest.approx(12, abs=0.02)
    assert row.end is not None
    assert f"{row.end.at:%a %H:%M}" == "Sun 06:00"
    assert [each.row.kit.post.kit for each in board.ends_next] == ["01"]
    assert next_words(board) == "Post 01 ends next, about Sun 06:00; no other ends within the run."
    assert next_words(tonight(result)) == "No post ends within the run."


def test_a_restart_is_that_of_the_kit_alone_and_the_last_report_counts() -> None:
    result = lit_group(14, 16)
    at = tonight(result).rows[0].cells[0].at
    reports = [Report("01", at + timedelta(hours=3), 5.0), Report("01", at, 9.0)]
    row = tonight(result, reports).rows[0]
    alone = from_now(result.posts[0].kit.question, 0, reports[0].at, 5.0)
    assert row.run is not None
    assert row.run.fraction.tolist() == alone.fraction.tolist()
    assert [report.left_ah for report in row.reports] == [9.0, 5.0]
    assert row.cells[0].reported_ah == 9.0
    assert row.cells[1].reported_ah == 5.0
    other = tonight(result, reports).rows[1]
    assert other.run is result.posts[1].planned


def test_the_next_to_end_comes_first() -> None:
    result = run_group(group_of([kit(18), kit(14), kit(16)]))
    assert (
        next_words(tonight(result)) == "Post 02 ends next, about Sat 12:00, then posts 03 and 01."
    )


@pytest.mark.parametrize(
    ("kit_number", "hours", "left_ah", "words"),
    [
        ("77", 1, 5.0, "there is no post 77"),
        ("01", -1, 5.0, "the time is outside the run, which goes from Fri 08:00 to Sun 08:00"),
        ("01", 48, 5.0, "the time is outside the run"),
        ("01", 1, 31.6, "its battery holds 30 Ah at most"),
        ("01", 1, -0.1, "its battery holds 30 Ah at most"),
    ],
)
def test_a_report_that_cannot_be_right_is_refused_in_words(
    kit_number: str, hours: float, left_ah: float, words: str
) -> None:
    result = run_group(group_of([kit(30)]))
    run = result.posts[0].planned
    assert run is not None
    report = Report(kit_number, run.clock.start + timedelta(hours=hours), left_ah)
    said = why_refused(result, report)
    assert said is not None
    assert words in said.replace("\N{NO-BREAK SPACE}", " ")
    with pytest.raises(ValueError, match=said[:12]):
        tonight(result, [report])


OFF_EARLY = [
    {"day": 1, "at": "20:00", "used_ah": 6.0},
    {"day": 1, "at": "23:00", "event": "off", "used_ah": 7.5},
]


def test_each_log_is_that_of_the_field_check_and_batches_are_told_across_posts() -> None:
    tired = kit(10, readings=OFF_EARLY)
    posts = [post(n, n, battery_batch="spring") for n in (1, 2)] + [post(3, 3)]
    result = run_group(group_of([tired, tired, kit(10)], posts, day={"days": 1}))
    found = after_action(result)
    run = result.posts[0].planned
    assert run is not None
    alone = field_check(run).found
    assert alone is not None
    assert [each.unknown.key for each in likeliest(found.posts[0])] == [
        each.unknown.key for each in alone.explanations[0].causes
    ]
    assert "battery" in {each.unknown.key for each in likeliest(found.posts[0])}
    assert found.posts[0].line.startswith("Post 01: the battery gives about ")
    assert found.posts[2].line == "Post 03: no log."
    assert found.across[0] == "2 of 3 posts have a log that can be read."
    assert any(line.startswith("Batteries at posts 01 and 02: about ") for line in found.across)
    assert any("of one batch (spring)" in line for line in found.across)


def test_what_posts_share_is_found_by_kind() -> None:
    plug = {"radio": {}, "battery": {"plug": "block"}}
    posts = [
        post(1, 1, licence="A", backup="call again", relay="02", battery_batch="x"),
        post(2, 2, licence="a", backup="call again", battery_batch="x"),
        post(3, 3, relay="02", licence="B", battery_batch="x"),
        post(4, 4, battery_batch="y"),
    ]
    kits = [kit(10, **plug), kit(10, **plug), kit(10), kit(10)]
    found = {each.kind: each for each in shared_points(group_of(kits, posts))}
    assert {kind: each.kits for kind, each in found.items()} == {
        "plug": ("01", "02"), "licence": ("01", "02"), "backup": ("01", "02"),
        "relay": ("01", "03"), "batch": ("01", "02", "03"),
    }  # fmt: skip


def test_a_tested_battery_is_no_untested_batch() -> None:
    result = read_group(EXAMPLE)
    batches = {each.what for each in shared_points(result) if each.kind == "batch"}
    assert batches == {"batch C", "batch D", "batch E", "batch F"}


def test_the_board_says_which_post_is_off_the_air_by_then() -> None:
    # 4 Ah at .5 A from 08:00 are gone by 16:00; 30 Ah are not gone in the first night.
    board = tonight(run_group(group_of([kit(4), kit(30)])))
    assert [cell.is_off for cell in board.rows[0].cells] == [True, True, True]
    assert [cell.is_off for cell in board.rows[1].cells] == [False, False, False]
    # A report of a full battery puts it on the air again.
    dusk = board.rows[0].cells[0].at
    again = tonight(run_group(group_of([kit(4), kit(30)])), [Report("01", dusk, 4.0)]).rows[0]
    assert [cell.is_off for cell in again.cells] == [True, False, True]
