"""Where the charge goes and where it comes from: budget, battery alone, sun."""

from __future__ import annotations

from datetime import date

from app.number_text import fixed, percent
from app.page.marks import MM, Piece, stacked
from app.page.say import NONE, Cell, Say, hours
from app.page.table import Column, spread, table
from app.page.type import paragraph
from model.harvest import Aim, Harvest
from model.kit import Kit, KitResults
from model.outcome import USES
from model.verdict import USE_ROWS

AIMS_SHOWN = 8
USE_LABELS = {use: label[:1].upper() + label[1:] for use, label in USE_ROWS}


def budget_body(results: KitResults, say: Say, width: float) -> Piece:
    """Return what each use takes in 24 hours, the largest first."""
    budget = results.budget
    lines = list(budget.lines)
    if say.variant == "class":
        lines.sort(key=lambda line: USES.index(line.use))
    rows: list[list[Cell]] = [
        [
            USE_LABELS[line.use],
            *(
                say.guessed(text)
                for text in (
                    fixed(line.mean_ah, 2), fixed(line.mean_wh, 1), percent(line.share),
                    fixed(line.night_ah, 2), fixed(line.day_ah, 2),
                )
            ),
        ]
        for line in lines
    ]
    rows.append(
        ["In 24 hours", *(say.guessed(text) for text in (
            fixed(budget.mean_ah, 2), fixed(budget.mean_wh, 1), percent(1.0) if lines else NONE,
            fixed(budget.night_ah, 2), fixed(budget.day_ah, 2)))]
    )  # fmt: skip
    first, *rest = spread(width, 2.1, 1, 1.1, 0.85, 1.05, 1)
    columns = [Column(first), *(Column(each, "right") for each in rest)]
    return table(columns, rows, header=("", "Ah", "Wh", "Share", "Night Ah", "Day Ah"), total=True)


def alone_body(kit: Kit, results: KitResults, say: Say, width: float) -> Piece:
    """Return what a full battery gives by itself, and when its capacity is to be tested."""
    alone = results.alone
    bottom = max(kit.station.reserve_fraction, alone.locked_fraction)
    named = "the cold" if alone.locked_fraction > kit.station.reserve_fraction else "the reserve"
    rows: list[list[Cell]] = [
        ["With this plan", say.guessed(hours(alone.planned_h))],
        ["Listening day and night, nothing sent", say.guessed(hours(alone.watch_h))],
        ["Listening 5 min of each hour, all else off", say.guessed(hours(alone.leanest_h))],
    ]
    columns = [Column(width - 24 * MM), Column(22.4 * MM, "right")]
    usable = (
        f"Usable from full: {fixed(alone.usable_ah, 1)} Ah, {fixed(alone.usable_wh, 0)} Wh, down to"
        f" {named} at {percent(bottom)} of the tested capacity."
    )
    return stacked(table(columns, rows), paragraph(usable, width), gap=0.4 * MM)


def tested_words(kit: Kit) -> str:
    """Return when the capacity was tested and when it is due."""
    share = percent(kit.station.battery.tested_fraction)
    if kit.tested_on is None or kit.test_due is None:
        return f"Capacity taken as {share} of the label, never measured: test before relying on it."
    return f"Capacity {share} of the label, tested {_day(kit.tested_on)}; due {_day(kit.test_due)}."


def _day(day: date) -> str:
    return f"{day.day} {day:%b %Y}"


def sun_body(results: KitResults, say: Say, width: float) -> Piece:
    """Return sun needed against sun expected, how to set the panel, and when charging may begin."""
    harvest = results.harvest
    if harvest is None:
        return paragraph("No panel: nothing comes back. What is used is gone.", width)
    needed = NONE if harvest.needed_sun_h is None else fixed(harvest.needed_sun_h, 2)
    rows: list[list[Cell]] = [
        ["Needed to break even", say.guessed(needed), ""],
        ["Expected, clear sky", say.guessed(fixed(harvest.clear_sun_h, 2)),
         say.guessed(f"{fixed(harvest.clear_wh, 0)} Wh")],
        ["Expected, as planned", say.guessed(fixed(harvest.planned_sun_h, 2)), ""],
        ["Expected, overcast", say.guessed(fixed(harvest.overcast_sun_h, 2)),
         say.guessed(f"{fixed(harvest.overcast_wh, 0)} Wh")],
    ]  # fmt: skip
    first, second, third = spread(width, 2.2, 1.2, 1.2)
    columns = [Column(first), Column(second, "right"), Column(third, "right")]
    head = ("Hours of full sun a day", "h", "Panel gives")
    return stacked(
        table(columns, rows, header=head),
        *_setting(results, harvest, say, width),
        paragraph(_charging(harvest, say), width),
        gap=0.5 * MM,
    )


def _setting(results: KitResults, harvest: Harvest, say: Say, width: float) -> tuple[Piece, ...]:
    panel = results.run.station.panel
    if panel is None:
        return ()
    magnetic = "Declination here ______°; compass bearing = true bearing − east declination."
    if panel.mount == "flat":
        return (paragraph("Panel flat on the ground, nothing shading it.", width),)
    if panel.mount == "fixed":
        text = f"Panel tilt {panel.tilt_deg:.0f}°, facing {panel.azimuth_deg:.0f}° true. {magnetic}"
        return (paragraph(text, width),)
    if not harvest.aims:
        return (paragraph("The sun does not rise on the first day: nothing to aim at.", width),)
    shown = harvest.aims[:AIMS_SHOWN]
    rows: list[list[Cell]] = [
        ["Re-aim at", *(f"{aim.at:%H:%M}" for aim in shown)],
        ["Tilt", *(f"{aim.tilt_deg:.0f}°" for aim in shown)],
        ["True bearing", *(_bearing(aim) for aim in shown)],
    ]
    first = 19 * MM
    step = min((width - first) / len(shown) - 1.6 * MM, 11 * MM)
    columns = [Column(first), *(Column(step, "right") for _ in shown)]
    return (table(columns, rows), paragraph(magnetic, width))


def _bearing(aim: Aim) -> str:
    return f"{aim.azimuth_deg:03.0f}°"


def _charging(harvest: Harvest, say: Say) -> str:
    if harvest.never_charges:
        return "The cells stay too cold to charge throughout."
    if harvest.charge_from:
        when = ", ".join(say.at(moment) for moment in harvest.charge_from[:4])
        return f"Cells too cold to charge until {when}."
    return "Cells warm enough to charge throughout."
