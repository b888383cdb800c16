"""A group's results as plain data, for JSON and for tables."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from typing import Any

from model.export.fingerprint import DIGITS
from model.files.scenario_file import dump_scenario
from model.group.board import nights, tonight
from model.group.drill import Drill
from model.group.group import GROUP_FORMAT
from model.group.group_file import dump_group
from model.group.group_run import FirstEnd, GroupResult, PostRun
from model.group.group_words import not_run_words
from model.group.kits import LoadedGroup, place_of
from model.group.power_matrix import PowerCell
from model.group.shared_odds import GroupOdds
from model.group.single_points import SharedPoint
from model.group.spares import Allotment
from model.odds.shares import Share
from model.sky.timeline import timeline

TABLE_HEADS = (
    "kit", "role", "place", "lasts", "first_end_clock", "first_end_at", "first_end_h", "cause",
    "bad_first_end_clock", "bad_first_end_at", "receive", "receive_low", "receive_high", "night",
    "lowest_fraction", "ah_a_day", "guess_share", "mass_kg", "why_not_run",
)  # fmt: skip


def group_mark(whole: LoadedGroup) -> str:
    """Return a mark that changes with the text of the group and of any scenario it names."""
    texts = [dump_group(whole.group)]
    texts += [f"{name}\n{dump_scenario(scenario)}" for name, scenario in whole.scenarios]
    digest = hashlib.sha256("\n".join(texts).encode()).hexdigest()[:DIGITS]
    return f"group-{GROUP_FORMAT}-{digest}"


def group_data(
    result: GroupResult,
    spares: Allotment,
    power: tuple[tuple[PowerCell, ...], ...],
    points: tuple[SharedPoint, ...],
    odds: GroupOdds | None,
) -> dict[str, Any]:
    """Return all of a group but its head; odds of the net are null where none were worked out."""
    return {
        **_posts_and_spares(result, spares),
        "net": _net(odds),
        "power": [_power(cell) for row in power for cell in row if not cell.is_own],
        "shared": [
            {"kind": each.kind, "what": each.what, "kits": list(each.kits), "words": each.words}
            for each in points
        ],
        "nights": list(_nights(result)),
    }


def drill_data(found: Drill) -> dict[str, Any]:
    """Return all of a drill but its head."""
    return {
        **_posts_and_spares(found.result, found.spares),
        "without": list(found.result.without),
        "lost": list(found.lost),
        "unrelayed": list(found.unrelayed),
    }


def table_rows(result: GroupResult) -> Iterator[tuple[object, ...]]:
    """Yield a row for each post, as ``TABLE_HEADS`` name its cells."""
    for row in result.posts:
        end, bad = row.first_end, row.bad_first_end
        odds, night = row.odds, row.night_odds
        yield (
            row.kit.post.kit, row.kit.post.role, place_of(row.kit), row.lasts,
            end and end.clock, end and end.at.isoformat(), end and end.hours_h, end and end.cause,
            bad and bad.clock, bad and bad.at.isoformat(),
            odds and odds.value, odds and odds.low, odds and odds.high, night and night.value,
            row.lowest and row.lowest.value, row.ah_a_day, row.guess_share, row.mass_kg,
            why_not_run(row),
        )  # fmt: skip


def why_not_run(row: PostRun) -> str | None:
    """Return why a post is not run; None where it is."""
    return row.kit.withheld or not_run_words(row) or None


def _posts_and_spares(result: GroupResult, spares: Allotment) -> dict[str, Any]:
    day = result.whole.group.day
    start = timeline(result.posts[0].kit.site, day).start
    return {
        "title": result.whole.group.title,
        "start": start.isoformat(),
        "days": day.days,
        "posts": [_post(row) for row in result.posts],
        "spares": {
            "exact": spares.exact,
            "orders": [
                {
                    "spare": order.spare,
                    "name": result.whole.group.spares[order.entry].name,
                    "kit": order.kit,
                    "by": order.by.isoformat(),
                    "arrives": order.arrives.isoformat(),
                }
                for order in spares.orders
            ],
            "lasting": list(spares.lasting),
            "out_of_reach": list(spares.out_of_reach),
        },
    }


def _post(row: PostRun) -> dict[str, Any]:
    return {
        "kit": row.kit.post.kit,
        "role": row.kit.post.role,
        "place": place_of(row.kit),
        "latitude_deg": row.kit.site.latitude_deg,
        "longitude_deg": row.kit.site.longitude_deg,
        "station": row.kit.station.name,
        "lacks": list(row.kit.lacks),
        "why_not_run": why_not_run(row),
        "lasts": row.lasts,
        "first_end": _end(row.first_end),
        "bad_first_end": _end(row.bad_first_end),
        "receive": _bounded(row.odds),
        "night": _bounded(row.night_odds),
        "lowest_fraction": row.lowest.value if row.lowest is not None else None,
        "ah_a_day": row.ah_a_day,
        "guess_share": row.guess_share,
        "mass_kg": row.mass_kg,
    }


def _end(end: FirstEnd | None) -> dict[str, Any] | None:
    if end is None:
        return None
    return {
        "clock": end.clock,
        "at": end.at.isoformat(),
        "hours": end.hours_h,
        "cause": end.cause,
        "because": end.because,
        "off_air_at": end.off_air_at.isoformat() if end.off_air_at is not None else None,
    }


def _bounded(share: Share | None) -> dict[str, float] | None:
    return None if share is None else {"value": share.value, "low": share.low, "high": share.high}


def _net(odds: GroupOdds | None) -> dict[str, Any] | None:
    if odds is None:
        return None
    return {
        "skies": odds.skies,
        "basis": odds.basis,
        "weathers": odds.weathers,
        "net_control": odds.net_control,
        "at_least": [_bounded(share) for share in odds.at_least],
    }


def _power(cell: PowerCell) -> dict[str, Any]:
    return {
        "battery": cell.lender,
        "kit": cell.kit,
        "can_power": cell.can_power,
        "hours": cell.hours_h,
        "notes": list(cell.notes),
        "refusals": [{"reason": each.reason, "words": each.words} for each in cell.refusals],
    }


def _nights(result: GroupResult) -> Iterator[dict[str, Any]]:
    for night in range(nights(result)):
        for row in tonight(result, night=night).rows:
            for cell in row.cells:
                yield {
                    "night": night,
                    "kit": row.row.kit.post.kit,
                    "moment": cell.name,
                    "at": cell.at.isoformat(),
                    "expected_ah": cell.expected_ah,
                }
