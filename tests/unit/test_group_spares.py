"""Spares: the best way of giving them out, held against every way there is; drills of each part."""

from __future__ import annotations

from itertools import pairwise, permutations, product
from random import Random
from typing import Any

import pytest

from model.editing.faults import ScenarioError
from model.group.drill import drill, parts_of, read_names
from model.group.group_run import GroupResult, run_group
from model.group.kits import LoadedGroup, kits_of
from model.group.routes import hours_from
from model.group.spares import Allotment, Option, Worth, allot_spares, packed, worth_of
from model.group.swap import Served, served_as_it_is, with_spare
from tests.unit.group_makers import PANEL, battery, group_of, kit, post

NIGHT_LIT = {"panel": PANEL, "controller": {"kind": "mppt"}}


def spare(ah: float, where: str = "Base", **more: Any) -> dict[str, Any]:
    return {"where": where, "battery": battery(ah), **more}


def routes(*ways: tuple[str, str, float]) -> list[dict[str, Any]]:
    return [{"between": [one, other], "hours": hours} for one, other, hours in ways]


def allotted(whole: LoadedGroup) -> Allotment:
    return allot_spares(run_group(whole))


def option(served: Served) -> Option:
    return Option((), served.brought, served.lasts, served.served_h)


def worth_of_all(result: GroupResult, served: list[Served]) -> Worth:
    worths = []
    for row, each in zip(result.posts, served, strict=True):
        nothing = served_as_it_is(row.kit, row.planned)
        worths.append(worth_of(result, row.kit.post, option(each), option(nothing)))
    return tuple(map(sum, zip(*worths, strict=True)))


def best_by_force(result: GroupResult) -> Worth:
    """Give every spare to every post or to none, in every order, and keep the best."""
    group = result.whole.group
    units = [entry for entry, each in enumerate(group.spares) for _ in range(each.count)]
    reach = [hours_from(group, each.where) for each in group.spares]
    known: dict[tuple[int, tuple[int, ...]], Served | None] = {}

    def after(index: int, sequence: tuple[int, ...]) -> Served | None:
        row = result.posts[index]
        if not sequence:
            return served_as_it_is(row.kit, row.planned)
        if (index, sequence) not in known:
            before, entry = after(index, sequence[:-1]), sequence[-1]
            arrives_h = reach[entry].get(row.kit.post.place.casefold())
            known[index, sequence] = (
                None
                if before is None or arrives_h is None
                else with_spare(before, group.spares[entry], entry, arrives_h)
            )
        return known[index, sequence]

    best: Worth | None = None
    for goes_to in product(range(-1, len(result.posts)), repeat=len(units)):
        served = []
        for index in range(len(result.posts)):
            mine = [unit for unit, to in zip(units, goes_to, strict=True) if to == index]
            ways = [found for order in set(permutations(mine)) if (found := after(index, order))]
            if not ways:
                break
            served.append(max(ways, key=lambda each: (each.lasts, each.served_h)))
        else:
            worth = worth_of_all(result, served)
            best = worth if best is None else max(best, worth)
    assert best is not None
    return best


@pytest.mark.parametrize("seed", range(6))
def test_no_other_way_of_giving_out_is_worth_more(seed: int) -> None:
    chance = Random(seed)
    kits = [kit(chance.choice([8, 12, 16, 30]), 0.5) for _ in range(4)]
    roles = ["post", "net control", "shelter", "relay"]
    chance.shuffle(roles)
    posts = [
        post(n + 1, n + 1, role=roles[n], place=chance.choice(["Base", "Hill", "Ford"]))
        for n in range(4)
    ]
    spares = [spare(chance.choice([4, 10, 20]), chance.choice(["Base", "Ford"])) for _ in range(3)]
    ways = routes(
        ("Base", "Hill", chance.choice([2, 20])), ("Base", "Ford", chance.choice([1, 30]))
    )
    result = run_group(group_of(kits, posts, spares=spares, routes=ways))
    found = allot_spares(result)
    assert found.exact
    assert worth_of_all(result, list(found.served)) == best_by_force(result)


def test_packed_worths_compare_and_add_up_as_their_parts_do() -> None:
    chance = Random(1)
    worths = [tuple(chance.randint(-9, 9) for _ in range(4)) for _ in range(40)]
    assert sorted(worths) == sorted(worths, key=packed)
    for one, other in pairwise(worths):
        assert packed(one) + packed(other) == packed(tuple(map(sum, zip(one, other, strict=True))))


def test_a_spare_is_swapped_in_when_the_battery_before_ends() -> None:
    # 10 Ah at .5 A end at 20 h, 04:00; 15 Ah more last beyond the 48 h of the run.
    found = allotted(group_of([kit(10)], spares=[spare(15)]))
    [order] = found.orders
    assert (order.spare, order.kit) == (1, "01")
    assert f"{order.by:%a %H:%M}" == "Sat 04:00"
    assert f"{order.arrives:%a %H:%M}" == "Fri 08:00"
    assert found.lasting == ("01",)
    [short] = allotted(group_of([kit(10)], spares=[spare(13)])).served
    assert short.end_h == pytest.approx(20 + 26, abs=0.1)


def test_a_spare_that_comes_too_late_is_not_sent() -> None:
    for hours, reached in ((19.5, 1), (20.5, 0)):
        posts = [post(1, 1, role="net control", place="Hill")]
        whole = group_of(
            [kit(10)], posts, spares=[spare(15)], routes=routes(("Base", "Hill", hours))
        )
        assert len(allotted(whole).orders) == reached
    nowhere = group_of([kit(10)], [post(1, 1, place="Nowhere")], spares=[spare(15)])
    assert allotted(nowhere).out_of_reach == ("01",)


def test_net_control_and_relays_come_before_the_others() -> None:
    kits = [kit(10), kit(10), kit(10)]
    for first in ("net control", "relay"):
        posts = [post(1, 1), post(2, 2), post(3, 3, role=first)]
        [order] = allotted(group_of(kits, posts, spares=[spare(15)])).orders
        assert order.kit == "03"
    # One whose number another names is a relay, whatever its role.
    posts = [post(1, 1, relay="02"), post(2, 2), post(3, 3)]
    [order] = allotted(group_of(kits, posts, spares=[spare(15)])).orders
    assert order.kit == "02"


def test_roles_come_in_the_order_of_the_file() -> None:
    posts = [post(1, 1, role="shelter"), post(2, 2, role="clinic")]
    plans = [{"role": role, "blocks": [WATCH]} for role in ("clinic", "shelter")]
    [order] = allotted(group_of([kit(10), kit(10)], posts, spares=[spare(15)], plans=plans)).orders
    assert order.kit == "02"


WATCH = {"start": "00:00", "end": "24:00", "activity": "watch"}


def test_a_battery_that_cannot_power_a_post_is_not_sent_there() -> None:
    ring = spare(15, plug="ring terminals")
    block = kit(10, radio={"plug": "block"})
    assert allotted(group_of([block], spares=[ring])).orders == ()


def test_a_panel_is_added_where_there_is_a_controller() -> None:
    bare, able = kit(22), kit(22, controller={"kind": "mppt"})
    panel = [{"where": "Base", "panel": {**PANEL, "rated_w": 200.0}}]
    assert allotted(group_of([bare], spares=panel)).orders == ()
    found = allotted(group_of([able], spares=panel))
    assert found.lasting == ("01",)


def test_a_controller_takes_the_place_of_one_that_was_taken_away() -> None:
    box = [{"where": "Base", "controller": {"kind": "mppt"}}]
    lit = {"panel": {**PANEL, "rated_w": 200.0}}
    assert allotted(group_of([kit(22)], spares=box)).orders == ()
    done = drill(group_of([kit(22, **lit, controller={"kind": "mppt"})], spares=box),
                 ["post01.controller"])  # fmt: skip
    assert not done.result.post("01").lasts
    assert done.lost == ()
    assert [order.spare for order in done.spares.orders] == [1]


def test_more_spares_than_can_be_weighed_go_one_after_the_other() -> None:
    kits = [kit(10), kit(10), kit(10)]
    posts = [post(1, 1), post(2, 2, role="net control"), post(3, 3, place="Nowhere")]
    found = allotted(group_of(kits, posts, spares=[spare(15, count=13)]))
    assert not found.exact
    assert [order.kit for order in found.orders] == ["01", "02"]
    assert [order.spare for order in found.orders] == [1, 2]


def test_the_shortest_way_is_taken_in_both_directions() -> None:
    ways = routes(("A", "B", 1), ("B", "C", 1), ("A", "C", 5), ("D", "E", 1))
    reach = hours_from(group_of([kit(10)], routes=ways).group, " a ")
    assert reach == {"a": 0, "b": 1, "c": 2}


def every_part() -> LoadedGroup:
    full = kit(
        60, 0.5, **NIGHT_LIT, antenna={"gain_dbi": 0.0}, tuner={}, laptop={"power_w": 1.0},
        amplifier={"key_down": [[1.0, 2.0], [10.0, 4.0]]},
        leads=[{"for": "radio", "one_way_m": 1.0, "size_mm2": 2.5, "fuse_a": 10.0}] * 2,
        chargers=[{"current_a": 1.0}], extras=[{"power_w": 1.0}],
    )  # fmt: skip
    posts = [post(1, 1, role="net control"), post(2, 2, relay="01")]
    return group_of([full, kit(60)], posts, day={"days": 1}, spares=[spare(30), spare(30)])


EVERY = parts_of(kits_of(every_part())[0])


def test_a_drill_can_name_every_part() -> None:
    assert set(EVERY) == {
        "radio", "amplifier", "tuner", "antenna", "laptop", "battery", "controller", "panel",
        "leads.1", "leads.2", "chargers.1", "extras.1",
    }  # fmt: skip


@pytest.mark.parametrize("part", EVERY)
def test_any_part_can_be_taken_away(part: str) -> None:
    whole = every_part()
    done = drill(whole, [f"post01.{part}"])
    row = done.result.post("01")
    if part in ("radio", "antenna", "battery"):
        assert row.kit.lacks == (part,)
        assert row.planned is None
        # A spare battery that lies at the place puts it on the air again at once.
        assert ("01" in done.spares.lasting) == (part == "battery")
        assert done.unrelayed == (() if part == "battery" else ("02",))
    else:
        slot, _, place = part.partition(".")
        held, before = getattr(row.kit.station, slot), getattr(kits_of(whole)[0].station, slot)
        assert held == (before[: int(place) - 1] + before[int(place) :] if place else None)
        assert (row.kit.unplugged is not None) == (part == "controller")
        assert (row.kit.station.panel is None) == (part in ("controller", "panel"))
        assert row.planned is not None


def test_posts_and_spares_can_be_taken_away() -> None:
    whole = group_of([kit(10), kit(60)], [post(1, 1), post(2, 2, relay="01")], spares=[spare(15)])
    done = drill(whole, ["post01"])
    assert [row.kit.post.kit for row in done.result.posts] == ["02"]
    assert done.unrelayed == ("02",)
    assert done.lost == ()
    done = drill(whole, ["spare1"])
    assert done.spares_before.lasting == ("01", "02")
    assert done.lost == ("01",)
    assert done.spares.orders == ()
    assert done.result.without == ("spare1",)


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("post09", "near it: post02, post01"),
        ("post01.battry", "is no part of post 01; it has post01.radio, post01.amplifier"),
        ("post01.leads.3", "is no part of post 01"),
        ("spare3", "near it: spare2"),
        ("spare0", "near it: spare2"),
        ("../x\n", "write post01, post01.battery or spare1"),
        ("", "write post01"),
    ],
)
def test_what_is_not_there_cannot_be_taken_away(name: str, words: str) -> None:
    with pytest.raises(ScenarioError) as refused:
        read_names(every_part(), [name])
    [fault] = refused.value.faults
    assert words in str(fault)
    assert "\n" not in str(fault)


def test_the_last_post_cannot_be_taken_away() -> None:
    with pytest.raises(ScenarioError, match="no post is left"):
        drill(every_part(), ["post01", "post02"])
