"""Who can power whom: hours worked by hand, every yes true in a run, every no with its reason."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from model.engine.run import run_station
from model.group.group_file import read_group
from model.group.group_run import first_end, run_group
from model.group.kits import LoadedGroup, kits_of
from model.group.power_matrix import PowerCell, alone_on, lenders, power_matrix
from tests.unit.group_makers import PANEL, SITE, battery, group_of, kit, post

EXAMPLE = Path(__file__).parents[2] / "scenarios" / "group" / "autumn-exercise.toml"


def matrix(whole: LoadedGroup) -> tuple[tuple[PowerCell, ...], ...]:
    return power_matrix(whole.group, kits_of(whole))


def cell(lender: dict[str, Any], column: dict[str, Any]) -> PowerCell:
    return matrix(group_of([lender, column]))[0][1]


def test_hours_are_charge_over_current() -> None:
    # Ah over A: a battery without losses and a load that never changes.
    rows = matrix(group_of([kit(10, 0.5), kit(7, 0.25)]))
    hours = [[found.hours_h for found in row] for row in rows]
    assert hours == [
        [pytest.approx(20, abs=0.05), pytest.approx(40, abs=0.05)],
        [pytest.approx(14, abs=0.05), pytest.approx(28, abs=0.05)],
    ]
    assert [[found.is_own for found in row] for row in rows] == [[True, False], [False, True]]


def test_hours_start_from_the_charge_of_the_lender_and_need_no_sun() -> None:
    half = kit(10, 0.5, start_fraction=0.5)
    lit = kit(4, 0.5, panel=PANEL, controller={"kind": "mppt"})
    assert cell(half, lit).hours_h == pytest.approx(10, abs=0.05)


def test_a_battery_that_lasts_for_weeks_has_no_number_of_hours() -> None:
    found = cell(kit(500, 0.5), kit(4, 0.5))
    assert found.can_power
    assert found.hours_h is None


LEADS = [{"for": "battery", "one_way_m": 0.3, "size_mm2": 6.0, "fuse_a": 10.0}]
CHARGED = {"panel": PANEL, "controller": {"kind": "mppt", "profile": "AGM"}}
REFUSED = [
    ("volts", {"battery": {"chemistry": "Li-ion", "cells": 4}}, {"radio": {"supply_max_v": 15.0}},
     "16.7 V when full, radio limit 15 V"),
    ("profile", {}, CHARGED, "controller set to AGM, battery is LFP"),
    ("plug", {"battery": {"plug": "ring terminals"}}, {"leads": [{**LEADS[0], "plug": "block"}]},
     "plug: ring terminals, not block"),
    ("polarity", {"battery": {"polarity": "red"}}, {"radio": {"polarity": "centre"}},
     "polarity: red positive, not centre"),
    ("fuse", {}, {"leads": [{"for": "radio", "one_way_m": 1.0, "size_mm2": 2.5}]},
     "no fuse between battery and radio"),
    ("run", {}, {"radio": {"receive_min_v": 15.0, "supply_min_v": 15.0}},
     "the radio does not run on its voltage"),
]  # fmt: skip


@pytest.mark.parametrize(("reason", "lender", "column", "words"), REFUSED)
def test_every_refusal_names_its_reason(
    reason: str, lender: dict[str, Any], column: dict[str, Any], words: str
) -> None:
    found = cell(kit(10, **lender), kit(10, **column))
    assert [refused.reason for refused in found.refusals] == [reason]
    assert found.refusals[0].words.replace("\N{NO-BREAK SPACE}", " ") == words
    assert found.hours_h is None
    # What is refused here is taken where that one thing is put right.
    assert cell(kit(10), kit(10)).can_power


def test_a_battery_that_cannot_give_the_current_is_refused() -> None:
    talks = {"role": "post", "blocks": [
        {"start": "08:00", "end": "09:00", "activity": "fm", "rf_w": 10.0, "transmit_share": 0.5}
    ]}  # fmt: skip
    weak, strong = ({"discharge_limit_a": limit_a} for limit_a in (2.9, 3.1))
    whole = group_of([kit(10, battery=weak), kit(10, battery=strong), kit(10)], plans=[talks])
    rows = matrix(whole)
    assert [refused.reason for refused in rows[0][2].refusals] == ["current"]
    assert rows[0][2].refusals[0].words.replace("\N{NO-BREAK SPACE}", " ") == (
        "key down draws 3 A, battery limit 2.9 A"
    )
    assert rows[1][2].can_power


def test_plain_words_are_compared_as_text_however_they_are_spaced() -> None:
    found = cell(
        kit(10, battery={"plug": "Two-pole  Block", "polarity": "red", "fuse_type": "glass"}),
        kit(10, radio={"plug": "two-pole block", "polarity": "Red", "fuse_type": "blade"}),
    )
    assert found.can_power
    assert found.notes == ("its fuses are glass, those of the post blade",)


def test_what_is_not_stated_is_to_be_looked_at_and_a_controller_to_be_set() -> None:
    agm = kit(10, battery={"chemistry": "AGM"}, panel=PANEL, controller={"kind": "mppt"})
    found = cell(kit(10), agm)
    assert found.can_power
    assert found.notes == (
        "plug not stated: look first",
        "polarity not stated: check with a meter first",
        "set the controller to LFP first",
    )


def test_a_panel_that_charges_with_more_than_a_battery_may_take_is_told() -> None:
    # 100 W less 14 % over some 13 V are more than 6 A, and less than 7 A.
    lit = kit(10, panel={**PANEL, "other_losses": 0.14}, controller={"kind": "mppt"})
    for limit_a, is_told in ((6.0, True), (7.0, False)):
        notes = cell(kit(10, battery={"charge_limit_a": limit_a}), lit).notes
        told = [note for note in notes if note.startswith("in full sun the panel charges with")]
        assert bool(told) == is_told


def test_spares_stand_below_the_posts() -> None:
    spare = {"name": "box", "count": 3, "battery": battery(5, plug="ring"), "plug": "block"}
    whole = group_of([kit(10), kit(10)], spares=[{"panel": PANEL}, spare])
    rows = lenders(whole.group, kits_of(whole))
    assert [row.name for row in rows] == ["post 01", "post 02", "spare 2"]
    assert rows[-1].plug == "block"
    assert matrix(whole)[-1][0].hours_h == pytest.approx(10, abs=0.05)


def test_every_yes_of_the_shipped_group_is_true_in_a_run() -> None:
    whole = read_group(EXAMPLE)
    kits = kits_of(whole)
    seen = set()
    for lender, row in zip(lenders(whole.group, kits), matrix(whole), strict=True):
        for column, found in zip(kits, row, strict=True):
            assert found.can_power == (not found.refusals)
            assert all(refused.words for refused in found.refusals)
            key = (lender.battery, column.station.radio, column.post.role)
            if not found.can_power or key in seen:
                continue
            seen.add(key)
            station = alone_on(lender, column)
            trip = column.trip.for_days(2)
            run = run_station(column.site, trip, column.plan, station, column.shared)
            off = run.clocks.receive.hours
            assert off is None or off > 0
            if found.hours_h is None or found.hours_h >= 48:
                assert off is None
            else:
                assert off == pytest.approx(found.hours_h)
    assert len(seen) > 8


def test_a_row_of_a_group_is_the_run_of_its_kit() -> None:
    # 10 Ah at half an ampere: 20 h; at a quarter: 40 h; lossless, without a panel.
    result = run_group(group_of([kit(10, 0.5), kit(10, 0.25)]))
    ends = [row.first_end for row in result.posts]
    assert [end.hours_h for end in ends if end] == [
        pytest.approx(20, abs=0.05), pytest.approx(40, abs=0.05),
    ]  # fmt: skip
    assert [row.ah_a_day for row in result.posts] == [
        pytest.approx(5, abs=0.05), pytest.approx(5, abs=0.05),
    ]  # fmt: skip
    for row in result.posts:
        assert row.planned is not None
        assert row.first_end == first_end(row.planned)
        assert row.guess_share == pytest.approx(1.0)
        assert row.lowest is not None
        assert row.lowest.value == pytest.approx(0, abs=1e-6)
        assert not row.lasts
    assert result.post("02").kit.site.name == SITE["name"]


def test_the_bad_sky_takes_light_away() -> None:
    lit = kit(5, 0.5, panel=PANEL, controller={"kind": "mppt"})
    row = run_group(group_of([lit])).posts[0]
    assert row.planned is not None
    assert row.bad is not None
    assert row.bad.sums.panel_wh.available < 0.6 * row.planned.sums.panel_wh.available


def test_a_kit_that_cannot_be_run_has_a_row_that_says_why() -> None:
    wrong = kit(10, radio={"supply_min_v": 15.0, "supply_max_v": 12.0})
    row = run_group(group_of([kit(10), wrong])).posts[1]
    assert row.planned is None
    assert row.kit.withheld is not None
    assert "no voltage suits it" in row.kit.withheld
    assert (row.first_end, row.lowest, row.ah_a_day, row.lasts) == (None, None, None, False)


def test_posts_of_one_file_stand_at_their_own_places() -> None:
    far = {**SITE, "name": "Far", "latitude_deg": 60.0}
    lit = kit(50, 0.5, start_fraction=0.1, panel=PANEL, controller={"kind": "mppt"})
    posts = [post(1, 1), post(2, 1, place="Far")]
    near, north = run_group(group_of([lit], posts, places=[far])).posts
    assert near.planned is not None
    assert north.planned is not None
    given = [run.sums.panel_wh.available for run in (near.planned, north.planned)]
    assert given[1] < 0.8 * given[0]
