"""Where the charge goes and where it comes from: budget and sun."""

from __future__ import annotations

from app.printing.marks import Piece
from app.printing.say import NONE, Cell, Say
from app.printing.table import Column, spread, table
from app.printing.type import paragraph
from app.widgets.number_text import fixed
from model.engine.outcome import USES
from model.export.day_rows import first_facing
from model.export.kit_page import Kit, KitResults, bad_sky
from model.results.solar_yield import Harvest
from model.results.wording import USE_LABELS, capital
from model.scenario.cautions import NO_CONTROLLER
from model.support.figures import percent, with_unit

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
    columns = [Column(first, lines=3), *(Column(each, "right") for each in rest)]
    listed = table(columns, rows, header=("", "Ah", "Wh", "Share"), total=True)
    night, day = (say.guessed(fixed(part, 2)) for part in (budget.night_ah, budget.day_ah))
    if isinstance(night, str) and isinstance(day, str):
        return [listed, paragraph(f"By night {night}, by day {with_unit(day, 'Ah')}.", width)]
    return [listed]


def sun_body(kit: Kit, results: KitResults, say: Say, width: float) -> list[Piece]:
    """Return sun needed against sun expected, how to set the panel, and when charging may begin."""
    harvest = results.harvest
    if harvest is None:
        return [paragraph("No panel: no recharge.", width)]
    bad = bad_sky(kit.scenario)
    needed = NONE if harvest.needed_sun_h is None else fixed(harvest.needed_sun_h, 2)
    rows: list[list[Cell]] = [
        ["Needed to break even", say.guessed(needed), ""],
        ["Expected, clear", say.guessed(fixed(harvest.clear_sun_h, 2)),
         say.guessed(fixed(harvest.clear_wh, 0))],
        ["Expected, as planned", say.guessed(fixed(harvest.planned_sun_h, 2)),
         say.guessed(fixed(harvest.planned_wh, 0))],
        [f"Expected, {bad}", say.guessed(fixed(harvest.bad_sun_h, 2)),
         say.guessed(fixed(harvest.bad_wh, 0))],
    ]  # fmt: skip
    first, second, third = spread(width, 2.6, 1, 1)
    columns = [Column(first, lines=3), Column(second, "right"), Column(third, "right")]
    head = ("Full sun a day", "h", "Wh")
    listed = table(columns, rows, header=head)
    return [listed, *_setting(results, width), paragraph(_charging(harvest, say), width)]


def brief_sun_body(kit: Kit, results: KitResults, say: Say, width: float) -> list[Piece]:
    """Return the same in running words, for where there is little room."""
    harvest = results.harvest
    if harvest is None or say.variant == "class":
        return sun_body(kit, results, say, width)
    needed = "not known" if harvest.needed_sun_h is None else _sun(harvest.needed_sun_h)
    skies = (
        ("clear", harvest.clear_sun_h, harvest.clear_wh),
        ("as planned", harvest.planned_sun_h, harvest.planned_wh),
        (bad_sky(kit.scenario), harvest.bad_sun_h, harvest.bad_wh),
    )
    expected = ", ".join(f"{sky} {_sun(h)} ({fixed(wh, 0, 'Wh')})" for sky, h, wh in skies)
    words = f"Full sun a day: {needed} to break even; expected {expected}."
    return [
        paragraph(f"{words} {_charging(harvest, say)}", width),
        *_setting(results, width),
    ]


def _sun(full_sun_h: float) -> str:
    return fixed(full_sun_h, 2, "h")


def _setting(results: KitResults, width: float) -> tuple[Piece, ...]:
    if results.run.station.controller is None:
        counted = "The figures count its sun as through a PWM controller."
        return (paragraph(f"{NO_CONTROLLER.brief} {counted}", width),)
    facing = first_facing(results.run)
    words = f"{facing}." if facing else "Panel: as in the day on the front."
    return (paragraph(f"{words} Compass = true − declination ______° east.", width),)


def _charging(harvest: Harvest, say: Say) -> str:
    if harvest.never_charges:
        return "The cells stay too cold to charge throughout."
    if harvest.charge_from:
        when = ", ".join(say.at(moment) for moment in harvest.charge_from[:4])
        return f"Cells too cold to charge until {when}."
    return "Cells warm enough to charge throughout."
