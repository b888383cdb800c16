"""The verdict: how long the station lasts under the planned sky and a bad one, and how surely."""

from __future__ import annotations

from app.printing.marks import STRONG, Piece
from app.printing.say import ABOUT, Cell, Say, hours
from app.printing.table import Column, spread, table
from app.printing.type import paragraph
from app.widgets.number_text import fixed
from model.export.kit_page import Kit, KitResults, UnderSky, bad_sky
from model.odds.sentences import odds_text
from model.results.provenance import guess_share
from model.results.wording import CLOCK_WORDS
from model.station.transmit_path import highest_planned_w
from model.support.figures import percent, told
from model.verdict.sentences import end_words


def verdict_body(kit: Kit, say: Say, width: float) -> list[Piece]:
    """Return the three clocks, lowest charge, reserve and odds; then the verdict in words."""
    results = kit.results
    if results is None:
        return [_withheld(kit, say, width)]
    skies = (results.planned, results.bad)
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
    reserve = percent(kit.station.reserve_fraction)
    rows.append([f"Reserve {reserve} until", *(say.guessed(_reserve(sky, say)) for sky in skies)])
    first, *rest = spread(width, 1.35, 1, 1)
    columns = [Column(first, lines=3), *(Column(each, lines=3) for each in rest)]
    head = ("", "As planned", bad_sky(kit.scenario).capitalize())
    clocks = table(columns, rows, header=head)
    pieces = [clocks]
    if say.variant == "class":
        pieces.append(paragraph("What fails first, and why?", width, STRONG))
    else:
        words = say.words(end_words(results.run))
        pieces.append(paragraph(words[:1].upper() + words[1:] + ".", width, STRONG))
        pieces += [paragraph(text, width) for text in odds_sentences(results)]
        guessed = percent(guess_share(results.run))
        pieces.append(paragraph(f"From guesses: {guessed} of the Ah.", width))
    return [*pieces, _alone(kit, results, say, width)]


def odds_sentences(results: KitResults) -> list[str]:
    """Return what trial trips come to, each with the skies it is of; nothing without trips."""
    told = [
        f"{skies}, receives to the end in {odds_text(found.receive)}, keeps its reserve in"
        f" {odds_text(found.reserve)}"
        if not place
        else f"{skies}, in {odds_text(found.receive)} and {odds_text(found.reserve)}"
        for place, (skies, found) in enumerate(results.odds)
    ]
    return [f"Of trial trips: {'; '.join(told)}."] if told else []


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
        f" Usable above {below}: {fixed(alone.usable_ah, 1, 'Ah')},"
        f" {fixed(alone.usable_wh, 0, 'Wh')}.",
        width,
    )


def _withheld(kit: Kit, say: Say, width: float) -> Piece:
    errors = [finding for finding in kit.findings if finding.level == "error"]
    text = "Not run: " + " ".join(f"{e.sentence} {e.remedy}".strip() for e in errors)
    return paragraph(say.words(text), width, STRONG)


def _reserve(sky: UnderSky, say: Say) -> str:
    crossed = sky.reserve_crossed_at
    if crossed is None:
        return "lasts"
    about = sky.is_guessed
    return f"{ABOUT if about else ''}{say.at(told(crossed, about=about))}"
