"""Verdict and ladder: how long the station lasts, and what to switch off first."""

from __future__ import annotations

from app.number_text import fixed, percent
from app.printing.marks import MM, STRONG, Piece
from app.printing.say import Cell, Say, hours
from app.printing.table import GAP, Column, spread, table
from app.printing.type import paragraph, width_of
from model.export.kit_page import Kit, KitResults, UnderSky
from model.results.wording import CLOCK_WORDS
from model.station.transmit_path import highest_planned_w
from model.support.figures import NBSP, change, told
from model.verdict.sentences import end_words

RUNGS_SHOWN = 6


def verdict_body(kit: Kit, say: Say, width: float) -> list[Piece]:
    """Return the three clocks under the planned, the clear and the overcast sky."""
    results = kit.results
    if results is None:
        return [_withheld(kit, width)]
    skies = (results.planned, results.clear, results.overcast)
    sends = highest_planned_w(kit.station, kit.scenario.plan) > 0
    rows: list[list[Cell]] = [
        [
            f"{words.capitalize()} until",
            *(
                say.guessed(
                    say.until(
                        getattr(sky.clocks, name),
                        applies=sends or name == "receive",
                        about=sky.is_guessed,
                    )
                )
                for sky in skies
            ),
        ]
        for name, words in CLOCK_WORDS.items()
    ]
    rows.append(["Lowest charge", *(say.guessed(percent(sky.lowest_fraction)) for sky in skies)])
    rows.append(
        [
            f"Above {percent(kit.station.reserve_fraction)} until",
            *(say.guessed(_reserve(sky, say)) for sky in skies),
        ]
    )
    first, *rest = spread(width, 1.65, 1, 1, 1)
    columns = [Column(first), *(Column(each, lines=2) for each in rest)]
    head = ("", "As planned", "Clear", "Overcast")
    clocks = table(columns, rows, header=head)
    if say.variant == "class":
        asked = paragraph("What fails first, and why?", width, STRONG)
        return [clocks, asked, _alone(kit, results, say, width)]
    words = end_words(results.run)
    said = paragraph(words[:1].upper() + words[1:] + ".", width, STRONG, most=5)
    return [clocks, said, _alone(kit, results, say, width)]


def _alone(kit: Kit, results: KitResults, say: Say, width: float) -> Piece:
    """Return what a full battery gives by itself."""
    alone = results.alone
    bottom = max(kit.station.reserve_fraction, alone.locked_fraction)
    is_cold = alone.locked_fraction > kit.station.reserve_fraction
    below = f"the {percent(bottom)} {'unavailable in the cold' if is_cold else 'in reserve'}"
    planned, watch = hours(alone.planned_h), hours(alone.watch_h)
    if say.variant == "class":
        planned = watch = "________ h"
    return paragraph(
        f"Battery alone, from full: {planned} with this plan, {watch} listening all the time."
        f" Usable above {below}: {fixed(alone.usable_ah, 1)} Ah,"
        f" {fixed(alone.usable_wh, 0)} Wh.",
        width,
    )


def _withheld(kit: Kit, width: float) -> Piece:
    errors = [finding for finding in kit.findings if finding.level == "error"]
    text = "Not run: " + " ".join(f"{e.sentence} {e.remedy}".strip() for e in errors)
    return paragraph(text, width, STRONG, most=6)


def _reserve(sky: UnderSky, say: Say) -> str:
    crossed = sky.reserve_crossed_at
    if crossed is None:
        return "lasts"
    about = sky.is_guessed
    return f"{'≈ ' if about else ''}{say.at(told(crossed, about=about))}"


def ladder_body(results: KitResults, say: Say, width: float) -> list[Piece]:
    """Return the measures, best first, with the hours each gains and when to begin."""
    steps = results.ladder
    left = f"{fixed(steps.keep_ah, 1)}{NBSP}Ah left"
    if say.variant == "class":
        act = "When would you act? At ______ Ah used since full. Which gains most?"
    elif steps.act_when_used_ah > 0:
        act = f"Act when {fixed(steps.act_when_used_ah, 1)}{NBSP}Ah are used since full: {left}."
    else:
        act = "Act from the start: the battery is too small to wait."
    measures = steps.rungs[:RUNGS_SHOWN]
    if say.variant == "class":
        measures = tuple(sorted(measures, key=lambda rung: rung.words))
    rows: list[list[Cell]] = [
        [
            "" if say.variant == "class" else str(number),
            rung.words[:1].upper() + rung.words[1:],
            say.guessed(gain(rung.gained_h, lasts=rung.lasts)),
        ]
        for number, rung in enumerate(measures, start=1)
    ]
    number = 2.2 * MM
    figures = max([13.0 * MM, *(width_of(row[2]) for row in rows if isinstance(row[2], str))])
    words = width - number - figures - 2 * GAP
    columns = [Column(number), Column(words, lines=2), Column(figures, "right")]
    listed = (
        table(columns, rows)
        if rows
        else paragraph("Nothing here can be switched off: carry more, or listen less.", width)
    )
    note = _basis(results) if say.variant != "class" else ""
    return [paragraph(act, width, STRONG), listed, paragraph(note, width)]


def gain(gained_h: float, *, lasts: bool) -> str:
    """Return the hours a measure gains, and whether the station then lasts."""
    if lasts:
        return f"{change(gained_h)}: lasts" if gained_h > 0 else "lasts"
    return change(gained_h)


def _basis(results: KitResults) -> str:
    steps = results.ladder
    base = hours(None if steps.base_lasts else steps.base_h)
    if steps.basis == "first end":
        counted = f"Hours added to the first end ({base})"
    else:
        counted = f"Hours added on the battery alone ({base})"
    return (
        f"{counted}, each by itself."
        " The Ah left: the reserve and the longest night at 5 min an hour."
    )
