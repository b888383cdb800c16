"""Where the charge goes and where it comes from: budget and sun."""

from __future__ import annotations

from datetime import date

from app.number_text import fixed, percent
from app.printing.marks import MM, Piece
from app.printing.say import NONE, Cell, Say
from app.printing.table import Column, spread, table
from app.printing.type import paragraph
from model.engine.outcome import USES
from model.export.kit_page import Kit, KitResults
from model.results.solar_yield import Aim, Harvest
from model.results.wording import USE_LABELS, capital
from model.scenario.cautions import NO_CONTROLLER

AIMS_SHOWN = 5
ROWS = {use: capital(label) for use, label in USE_LABELS.items()} | {"off": "Radio off"}


def budget_body(results: KitResults, say: Say, width: float) -> list[Piece]:
    """Return what each use takes in 24 hours, the largest first."""
    budget = results.budget
    lines = list(budget.lines)
    if say.variant == "class":
        lines.sort(key=lambda line: USES.index(line.use))
    rows: list[list[Cell]] = [
        [
            ROWS[line.use],
            *(
                say.guessed(text)
                for text in (
                    fixed(line.mean_ah, 2),
                    fixed(line.mean_wh, 1),
                    percent(line.share),
                )
            ),
        ]
        for line in lines
    ]
    rows.append(
        ["In 24 hours", *(say.guessed(text) for text in (
            fixed(budget.mean_ah, 2), fixed(budget.mean_wh, 1), percent(1.0) if lines else NONE))]
    )  # fmt: skip
    first, *rest = spread(width, 2.6, 1, 1.1, 1)
    columns = [Column(first), *(Column(each, "right") for each in rest)]
    listed = table(columns, rows, header=("", "Ah", "Wh", "Share"), total=True)
    split: list[list[Cell]] = [
        ["By night", say.guessed(fixed(budget.night_ah, 2)), "By day",
         say.guessed(fixed(budget.day_ah, 2))]
    ]  # fmt: skip
    first, *rest = spread(width, 1.5, 1.1, 1.2, 1.1)
    sides = [Column(first), *(Column(each, "right") for each in rest)]
    return [listed, table(sides, split)]


def tested_words(kit: Kit) -> str:
    """Return when the test of the capacity is due."""
    if kit.test_due is None:
        return "Capacity test due: never done"
    return f"Capacity test due {_day(kit.test_due)}"


def _day(day: date) -> str:
    return f"{day.day} {day:%b %Y}"


def sun_body(results: KitResults, say: Say, width: float) -> list[Piece]:
    """Return sun needed against sun expected, how to set the panel, and when charging may begin."""
    harvest = results.harvest
    if harvest is None:
        return [paragraph("No panel: no recharge.", width)]
    needed = NONE if harvest.needed_sun_h is None else fixed(harvest.needed_sun_h, 2)
    rows: list[list[Cell]] = [
        ["Needed to break even", say.guessed(needed), ""],
        ["Expected, clear", say.guessed(fixed(harvest.clear_sun_h, 2)),
         say.guessed(fixed(harvest.clear_wh, 0))],
        ["Expected, as planned", say.guessed(fixed(harvest.planned_sun_h, 2)),
         say.guessed(fixed(harvest.planned_wh, 0))],
        ["Expected, overcast", say.guessed(fixed(harvest.overcast_sun_h, 2)),
         say.guessed(fixed(harvest.overcast_wh, 0))],
    ]  # fmt: skip
    first, second, third = spread(width, 2.6, 1, 1)
    columns = [Column(first), Column(second, "right"), Column(third, "right")]
    head = ("Full sun a day", "h", "Wh")
    return [
        table(columns, rows, header=head),
        *_setting(results, harvest, width),
        paragraph(_charging(harvest, say), width),
    ]


def _setting(results: KitResults, harvest: Harvest, width: float) -> tuple[Piece, ...]:
    panel = results.run.station.panel
    if panel is None:
        return ()
    if results.run.station.controller is None:
        counted = "The figures count its sun as through a PWM controller."
        return (paragraph(f"{NO_CONTROLLER.brief} {counted}", width),)
    magnetic = "Declination here ______° east; compass = true − declination."
    if panel.mount == "flat":
        return (paragraph("Panel flat on the ground, nothing shading it.", width),)
    if panel.mount == "fixed":
        text = (
            f"Panel tilt {panel.tilt_deg:.0f}°, azimuth {panel.azimuth_deg:.0f}° true. {magnetic}"
        )
        return (paragraph(text, width),)
    if not harvest.aims:
        return (paragraph("The sun does not rise on the first day: nothing to aim at.", width),)
    shown = harvest.aims[:AIMS_SHOWN]
    rows: list[list[Cell]] = [
        ["Aim", *(f"{aim.at:%H:%M}" for aim in shown)],
        ["Tilt", *(f"{aim.tilt_deg:.0f}°" for aim in shown)],
        ["True", *(_bearing(aim) for aim in shown)],
    ]
    first = 7.5 * MM
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
