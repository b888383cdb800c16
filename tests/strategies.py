"""Valid scenarios of every kind, for tests of laws that must hold for all of them.

Numbers come from the bounds on the fields themselves: half from a believable range, so that runs
are worth looking at, half from the whole range with its ends.
"""

from __future__ import annotations

import math
from datetime import date, timedelta
from functools import cache
from typing import Any

from hypothesis import strategies as st
from hypothesis.strategies import SearchStrategy

from model.editing.field_facts import FieldFacts, field_at, known_keys
from model.scenario.climate import Climate
from model.scenario.daily import SKY_WORDS
from model.scenario.declare import SMALLEST, clock_of
from model.scenario.scenario import Block, Day, Scenario, Site
from model.scenario.station import Station

Strategy = SearchStrategy[Any]

BELIEVABLE = {
    "receive_a": (0.02, 2),
    "off_a": (0, 0.05),
    "rf_max_w": (5, 150),
    "rf_min_w": (0.1, 5),
    "supply_min_v": (9, 13.5),
    "supply_max_v": (14, 16),
    "receive_min_v": (8, 12),
    "gain_db": (6, 16),
    "standby_a": (0.05, 1),
    "operate_a": (0.2, 3),
    "idle_a": (0, 0.1),
    "tuning_a": (0, 2),
    "tuning_s": (0, 20),
    "loss_db": (0, 1),
    "gain_dbi": (-6, 8),
    "feed_loss_db": (0, 3),
    "power_w": (1, 60),
    "sleep_w": (0, 3),
    "capacity_ah": (3, 200),
    "converter_efficiency": (0.6, 1),
    "converter_idle_a": (0, 0.1),
    "own_battery_wh": (0, 90),
    "tested_fraction": (0.4, 1),
    "resistance_ohm": (0, 0.1),
    "charge_efficiency": (0.8, 1),
    "charge_limit_a": (2, 50),
    "discharge_limit_a": (10, 100),
    "cutoff_v": (9, 11.5),
    "reconnect_v": (11.5, 13),
    "charge_min_c": (-20, 5),
    "warm_c": (0, 15),
    "cells": (3, 10),
    "efficiency": (0.85, 0.99),
    "own_a": (0, 0.05),
    "rate_exponent": (1, 1.3),
    "output_limit_a": (5, 40),
    "count": (1, 3),
    "input_limit_v": (30, 150),
    "start_margin_v": (0, 5),
    "rated_w": (10, 400),
    "vmp_v": (16, 20),
    "voc_v": (20, 24),
    "other_losses": (0.05, 0.3),
    "one_way_m": (0.2, 10),
    "size_mm2": (0.75, 35),
    "awg": (4, 18),
    "joints_mohm": (0, 20),
    "fuse_a": (5, 60),
    "current_a": (0.05, 20),
    "mass_kg": (0.1, 12),
    "cost": (0, 2000),
    "reserve_fraction": (0, 0.5),
    "rf_w": (1, 120),
    "start_fraction": (0.4, 1),
    "transmit_share": (0, 0.5),
    "listen_share": (0.05, 1),
    "frequency_mhz": (1.8, 440),
    "wind_m_s": (0, 15),
    "elevation_m": (0, 3000),
    "start_hour": (0, 23.75),
    "low_c": (-30, 25),
    "high_c": (-10, 40),
    "albedo": (0.1, 0.8),
}
NAMES = (
    "",
    "Hut",
    "<b>bold</b> & <img src=x>",
    "قاعدة الجبل",
    "山小屋 ⛰️📻",
    "e\u0301le\u0301vation",
    'quote " back \\ slash',
    "''' \"\"\"",
    "a" * 120,
    "# = [x]",
    "{{ }} %s $HOME",
    "\u05e9\u05dc\u05d5\u05dd\u200f",
)
ZONES = (
    "UTC",
    "Europe/Rome",
    "America/New_York",
    "Australia/Lord_Howe",
    "Asia/Kathmandu",
    "Pacific/Apia",
    "America/St_Johns",
    "Africa/Casablanca",
    "Pacific/Chatham",
    "Etc/GMT+12",
)
# A clock change, a zone that skipped a whole day, leap days, solstices and the ends of the range.
DATES = (
    date(2026, 3, 29),
    date(2026, 10, 25),
    date(2027, 3, 14),
    date(2011, 12, 29),
    date(2024, 2, 29),
    date(2026, 6, 21),
    date(2026, 12, 21),
    date(1950, 1, 1),
    date(2149, 12, 31),
    date(2100, 2, 28),
)


def names() -> Strategy:
    """Return single lines with all that a person may type."""
    marks = "\u2028\u2029\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\ufeff"
    letters = st.characters(exclude_categories=("Cs", "Cc"), exclude_characters=marks)
    return st.sampled_from(NAMES) | st.text(letters, max_size=12)


def notes() -> Strategy:
    """Return prose with line ends, tabs, quotes and anything else that is allowed."""
    lines = st.sampled_from(("\n", "\t", "\r\n", '"""', "\\", "line", " ", '"', "''", "日本"))
    return st.lists(lines | names(), max_size=6).map("".join)


@cache
def number_values(path: str) -> tuple[float, ...]:
    """Return numbers a field may hold: believable ones, its ends, some of the whole range.

    They are listed beforehand because one choice of many is ten times quicker than a drawn float.
    """
    facts = field_at(path)
    low, high = float(facts.low), float(facts.high)
    first, last = BELIEVABLE.get(path.rpartition(".")[2], (low, high))
    believable = [round(first + (last - first) * step / 60, 6) for step in range(61)]
    anywhere = [low + (high - low) * (step * 0.6180339887498949 % 1) for step in range(1, 25)]
    tiny = [math.nextafter(low, high), math.nextafter(high, low), SMALLEST, -0.0]
    values = [*believable, *believable, low, high, *anywhere, *tiny]
    return tuple(
        value
        for value in values
        if _is_inside(value, facts) and (value == 0 or abs(value) >= SMALLEST)
    )


def _is_inside(value: float, facts: FieldFacts) -> bool:
    above = value > facts.low if facts.low_open else value >= facts.low
    return above and (value < facts.high if facts.high_open else value <= facts.high)


def number(path: str) -> Strategy:
    """Return numbers inside the bounds of a field, with its ends."""
    return st.sampled_from(number_values(path))


def whole_number(path: str) -> Strategy:
    """Return whole numbers inside the bounds of a field, small ones more often."""
    facts = field_at(path)
    first, last = BELIEVABLE.get(path.rpartition(".")[2], (facts.low, facts.high))
    usual = range(int(first), int(last) + 1)
    return st.sampled_from((*usual, *usual, *range(facts.low, facts.high + 1)))


@st.composite
def _table(draw: st.DrawFn, required: dict[str, Strategy], optional: dict[str, Strategy]) -> Any:
    """Return a table in which any of the optional keys may stand; one choice says which."""
    which = draw(st.integers(0, 2 ** len(optional) - 1)) if optional else 0
    table = {key: draw(strategy) for key, strategy in required.items()}
    for place, (key, strategy) in enumerate(optional.items()):
        if which >> place & 1:
            table[key] = draw(strategy)
    return table


def _curves() -> tuple[list[list[float]], ...]:
    """Return rising curves as sets have them, and curves no set has, all within bounds."""
    powers = (
        (0.1, 5),
        (1, 10),
        (0.5, 2.5, 5, 10),
        (5, 25, 50, 100),
        (10, 100),
        (0, 20),
        (5000, 1e-9),
    )
    rising = [
        [[power, round(bias + slope * power**0.5, 3)] for power in row]
        for row in powers
        for bias in (0, 0.3, 1.5)
        for slope in (0.2, 0.7, 1.9)
    ]
    falling = [[[power, 1000 / (place + 1)] for place, power in enumerate(row)] for row in powers]
    flat = [[[power, level] for power in row] for row in powers for level in (0, 1, 1000)]
    twice = [[5, 2.0], [5, 2.2], [10, 3.1]]
    longest = [[step * 0.5, 0.2 + step * 0.1] for step in range(20)]
    return (*rising, *falling, *flat, twice, longest)


def key_down_points() -> Strategy:
    """Return measured points with at least two distinct powers."""
    return st.sampled_from(_curves())


def stretches() -> Strategy:
    """Return the hours of a thing: always, never, or stretches that may cross midnight."""
    clocks = ("00:00", "06:00", "11:59", "18:00", "23:59", "24:00")
    pairs = [[start, end] for start in clocks for end in clocks]
    return st.sampled_from(("always", [], *([pair] for pair in pairs), pairs[1:15:3], pairs))


def shades() -> Strategy:
    """Return the shade of a panel: none, whole, faint, across midnight, laid over each other."""
    clocks = ("00:00", "09:30", "12:00", "16:45", "24:00")
    rows = [[start, end, left] for start in clocks for end in clocks for left in (0.0, 0.4, 1.0)]
    return st.sampled_from(([], *([row] for row in rows[::4]), rows[3:40:9]))


def _sources(keys: list[str]) -> Strategy:
    source = _table(
        {"from": st.sampled_from(("measured", "datasheet", "guess"))},
        {
            "on": st.sampled_from(DATES),
            "spread": st.sampled_from((0.0, 0.05, 2.0)),
            "note": st.sampled_from(NAMES),
        },
    )
    return st.dictionaries(st.sampled_from(keys), source, max_size=2)


@cache
def field(path: str) -> Strategy:
    """Return what may stand in one field, as a file writes it."""
    kind = field_at(path).kind
    if kind == "choice":
        return st.sampled_from(field_at(path).choices)
    if kind == "sources":
        return _sources(list(known_keys(path.rpartition(".")[0])))
    if kind in ("number", "whole"):
        return number(path) if kind == "number" else whole_number(path)
    others = {
        "flag": st.booleans(),
        "hours": stretches(),
        "points": key_down_points(),
        "shade": shades(),
        "clock": st.sampled_from(("00:00", "06:30", "24:00")),
    }
    return others[kind] if kind in others else st.sampled_from(NAMES)


@cache
def part(path: str, *, wide: bool = True) -> Strategy:
    """Return the tables of one part; narrow ones keep to what the part cannot do without."""
    keys = list(known_keys(path))
    needed = [key for key in keys if field_at(f"{path}.{key}").required or key == "key_down"]
    required = {key: field(f"{path}.{key}") for key in needed}
    rest = {key: field(f"{path}.{key}") for key in keys if key not in needed}
    return _table(required, rest if wide else {})


@cache
def stations(*, wide: bool = True) -> Strategy:
    """Return stations; narrow ones leave every field that has a default at it."""
    at = "stations.0"
    needed = {name: part(f"{at}.{name}", wide=wide) for name in ("radio", "battery")}
    others = ("amplifier", "tuner", "antenna", "laptop", "controller", "panel")
    optional = {name: part(f"{at}.{name}", wide=wide) for name in others}
    for name, most in (("leads", 3), ("chargers", 1), ("extras", 2), ("readings", 2)):
        optional[name] = st.lists(part(f"{at}.{name}.0", wide=wide), max_size=most)
    for name in ("name", "reserve_fraction", "start_fraction"):
        optional[name] = field(f"{at}.{name}")
    return _table(needed, optional).map(Station.model_validate)


@st.composite
def sites(draw: st.DrawFn) -> Site:
    """Return places from pole to pole, with and without a horizon."""
    point = st.tuples(st.sampled_from((0, 45, 90, 180, 270, 359.5, 360)), st.floats(0, 90))
    table = {
        "name": draw(names()),
        "latitude_deg": draw(
            st.sampled_from((-90, -33.9, 0, 23.4, 46.5, 69.65, 90))
            | st.floats(-90, 90).map(lambda deg: round(deg, 6))
        ),
        "longitude_deg": draw(
            st.sampled_from((-180, 0, 12.3, 180))
            | st.floats(-180, 180).map(lambda deg: round(deg, 6))
        ),
        "timezone": draw(st.sampled_from(ZONES)),
        "horizon": [list(pair) for pair in draw(st.lists(point, max_size=4))],
        "albedo": draw(field("site.albedo")),
        "elevation_m": draw(field("site.elevation_m")),
    }
    if draw(st.booleans()):
        table["licence_max_w"] = draw(st.sampled_from((0.5, 10.0, 400.0)))
    return Site.model_validate(table)


@st.composite
def days(draw: st.DrawFn, *, max_days: int = 14) -> Day:
    """Return days of every season, with one weather for all or one for each."""
    count = draw(st.integers(1, max_days))
    each = draw(st.sampled_from((1, 1, count)))
    lows = draw(st.lists(number("day.low_c.0"), min_size=each, max_size=each))
    rise = draw(st.sampled_from((0, 5, 14)))
    sky = st.sampled_from((*SKY_WORDS, 0.0, 0.25, 0.8, 1.0, 1.2))
    return Day.model_validate(
        {
            "date": draw(
                st.sampled_from(DATES) | st.dates(DATES[7], DATES[8] - timedelta(days=20))
            ),
            "start_hour": draw(field("day.start_hour")),
            "days": count,
            "wind_m_s": draw(field("day.wind_m_s")),
            "sky": draw(st.lists(sky, min_size=each, max_size=each + 1)),
            "low_c": lows,
            "high_c": [min(60.0, low + rise) for low in lows],
        }
    )


@st.composite
def plans(draw: st.DrawFn, *, max_blocks: int = 12) -> tuple[Block, ...]:
    """Return plans without overlaps: with gaps, across midnight, empty, and now and then full."""
    if max_blocks >= 500 and draw(st.integers(0, 19)) == 19:
        cuts = [step * 2 for step in range(500)]
    else:
        minute = st.sampled_from((0, 360, 390, 1080, 1200)) | st.integers(0, 1439)
        cuts = sorted(draw(st.lists(minute, max_size=min(max_blocks, 12), unique=True)))
    kinds = st.lists(_block_tables() | st.none(), min_size=1, max_size=4)
    drawn = draw(kinds) if cuts else []
    blocks = []
    for index, (start, end) in enumerate(zip(cuts, cuts[1:] + cuts[:1], strict=True)):
        table = drawn[index % len(drawn)]
        if table is not None:
            blocks.append(Block.model_validate(table | _clocks(start, end)))
    return tuple(blocks)


def _clocks(start: int, end: int) -> dict[str, str]:
    return {"start": clock_of(start), "end": clock_of(1440 if end == 0 else end)}


@cache
def _block_tables() -> Strategy:
    keys = sorted(set(known_keys("plan.0")) - {"start", "end", "activity"})
    optional = {key: field(f"plan.0.{key}") for key in keys}
    return _table({"activity": field("plan.0.activity")}, optional)


def climates() -> Strategy:
    """Return the typical weather of twelve months, with or without a year of days."""

    def months(path: str) -> Strategy:
        return st.lists(number(path), min_size=3, max_size=3).map(lambda quarter: quarter * 4)

    keys = ("low_c", "high_c", "clearness")
    table = {key: months(f"climate.{key}.0") for key in keys}
    year = {
        "start": DATES[4], "clearness": [0.4, math.nan, 0.61], "low_c": [-3.5, 1, math.nan],
        "high_c": [4, 9.25, math.nan], "typical": True,
    }  # fmt: skip
    table["years"] = st.sampled_from(([], [year]))
    table["loss_scale"] = st.sampled_from((1.0, 1.25, 0.8))
    table["clear_scale"] = st.sampled_from((1.0, 0.9, 1.05))
    table["spread_scale"] = st.sampled_from((1.0, 1.3))
    return st.fixed_dictionaries(table).map(Climate.model_validate)


@cache
def _changed_values() -> Strategy:
    """Return one path with a value that may stand there in some scenario."""
    paths = (
        "stations.0.battery.capacity_ah",
        "stations.1.battery.tested_fraction",
        "stations.0.panel.rated_w",
        "stations.3.amplifier.in_session",
        "plan.0.rf_w",
        "plan.499.processed",
        "day.wind_m_s",
        "stations.0.radio.key_down",
        "stations.0.name",
        "stations.1.extras.0.hours",
        "stations.0.battery.count",
    )
    others = (
        ("day.date", DATES[0]),
        ("day.low_c", 3),
        ("day.low_c", (1.0, 2.5)),
        ("title", "Other"),
        ("site.horizon", ((10.0, 4.0), (350.0, 9.0))),
        ("notes", "one\ntwo"),
        ("stations.0.battery.sources.capacity_ah.from", "guess"),
        ("stations.0.battery.sources.capacity_ah.on", DATES[3]),
    )
    given = st.sampled_from(paths).flatmap(lambda path: st.tuples(st.just(path), field(path)))
    return given | st.sampled_from(others)


def variants() -> Strategy:
    """Return variants, some of which fit the scenario they come to stand in."""
    left_out = ("stations.0.panel", "stations.2.amplifier", "climate", "plan.0.frequency_mhz")
    table = _table(
        {"name": names().filter(str.strip).map(lambda name: name[:80])},
        {
            "note": names(),
            "changes": st.lists(_changed_values(), max_size=3).map(dict),
            "left_out": st.lists(st.sampled_from(left_out), max_size=2),
        },
    )
    return st.lists(table, max_size=3, unique_by=lambda one: one["name"])


@st.composite
def scenarios(
    draw: st.DrawFn,
    *,
    max_days: int = 14,
    max_stations: int = 4,
    max_blocks: int = 500,
    wide: bool = True,
) -> Scenario:
    """Return complete scenarios; the limits keep a run short where its length does not matter."""
    return Scenario.model_validate(
        {
            "title": draw(names()),
            "notes": draw(notes()),
            "site": draw(sites()),
            "day": draw(days(max_days=max_days)),
            "climate": draw(st.none() | climates()),
            "plan": draw(plans(max_blocks=max_blocks)),
            "stations": draw(st.lists(stations(wide=wide), min_size=1, max_size=max_stations)),
            "variants": draw(st.just([]) | variants()),
        }
    )
