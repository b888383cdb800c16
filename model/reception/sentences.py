"""What reports say in sentences; nothing in them predicts propagation."""

from __future__ import annotations

from collections.abc import Sequence

from model.reception.amplifier_price import AmplifierPrice
from model.reception.cells import EDGE_DB, Cell
from model.reception.requests import Answer, too_few
from model.reception.shares import FEW_PATHS, Share
from model.reception.station_answers import CellAnswers, StationAnswers
from model.reception.thresholds import MORSE, REFERENCE_BANDWIDTH_HZ, VOICE, Mode
from model.results.wording import called, capital, listed
from model.support.figures import NBSP, amount, entered, in_10, span_in_10

# Lowest and highest coverage of the nominal 80 % intervals, from 12 evenings on, and the lowest of
# answers with one bound alone: `python -m tests.laws.reception_trial --seeds 200`.
COVERED_OF_100 = (70, 87)
ONE_BOUND_OF_100 = 70
MEANS = (
    "Who did not hear does not report: shares are of the paths that heard, or of those tried where"
    " the table lists attempts. They hold for the antenna, place and season of the reports, and"
    " predict no propagation. The figures in brackets are meant for 8 cases in 10; on made-up paths"
    f" such intervals held the truth in {COVERED_OF_100[0]} to {COVERED_OF_100[1]} of 100. Where"
    f" fewer than {FEW_PATHS} paths would read it, or fewer would not, and within"
    f" {amount(EDGE_DB, 'dB')} of the weakest that is read, one bound alone is known, which held in"
    f" {ONE_BOUND_OF_100} of 100 or more. What changes slowly over the evenings is part of the"
    " share and widens none."
)
EXPLAINED = (
    "Less power, or a mode that needs a stronger signal, is a count of the reports. More power in"
    " the same mode reaches paths of which reports know nothing: only a table that lists the"
    " attempts as well, as rows without a signal-to-noise ratio, tells how many. A report at the"
    " decoder's lowest value may be weaker than it says. Near what is needed a report counts in"
    " part, over some decibels either way, fewer the more reports there are."
)
ATTEMPTS_MEAN = (
    "Below what was heard, shares of the paths tried come from a normal law in decibels that is"
    " fitted to those heard and the number of those not heard."
)
NO_AMPLIFIER = "has no amplifier"
NOTHING = "Nothing can be said yet."
# Of so many bands and hours with too few reports it is said what is missing.
FEW_TOLD = 5


def place_words(cell: Cell) -> str:
    """Return where and when, such as "80 m at 21:00"."""
    at = f"at {cell.hour:02d}:00"
    return f"{cell.band} {at}" if cell.band else at


def cell_words(cell: Cell) -> str:
    """Return what was counted, such as "FT8 with 8 W: 164 reports on 16 evenings"."""
    tried = f", {int(cell.missed.sum())} attempts not heard" if cell.lists_attempts else ""
    return (
        f"{cell.mode.label} with {entered(cell.power_w, 'W')}: {cell.reports} reports on"
        f" {cell.evenings} evenings{tried}"
    )


def base_words(cell: Cell) -> str:
    """Return what a share is of, such as "Of the paths that heard the slots with 8 W at 21:00"."""
    power = entered(cell.power_w, "W")
    where = f" on {cell.band}" if cell.band else ""
    verb = "tried with the slots" if cell.lists_attempts else "that heard the slots"
    return f"Of the paths {verb} with {power}{where} at {cell.hour:02d}:00"


def share_words(share: Share) -> str:
    """Return a share as it is said, such as "about 3 in 10 (2 to 5)"."""
    said, bounds = in_10(share.share), span_in_10(share.low, share.high)
    return (
        said
        if bounds == said.removeprefix("about ").removesuffix(" in 10")
        else (f"{said} ({bounds})")
    )


def mode_sentence(found: CellAnswers, mode: Mode) -> str:
    """Return what reads a mode at each power, in one sentence or two."""
    answers = [answer for answer in found.answers if answer.mode is mode]
    known = [answer for answer in answers if answer.share is not None]
    said = ""
    for answer in known:
        assert answer.share is not None
        power = entered(answer.power_w, "W")
        words = share_words(answer.share)
        said += (
            f"; with {power}, {words}"
            if said
            else f"{base_words(found.cell)}, {words} would have read {mode.label} with {power}"
        )
    sentences = [f"{said}."] if said else []
    refusals: dict[str, list[str]] = {}
    for answer in answers:
        if answer.share is None:
            refusals.setdefault(answer.refusal, []).append(entered(answer.power_w, "W"))
    refused = [
        f"{capital(mode.label)} with {listed(powers)}: {refusal}."
        for refusal, powers in refusals.items()
    ]
    return " ".join([*sentences, *_by_ear(known), *refused])


def _by_ear(known: list[Answer]) -> list[str]:
    ranges = [
        f"{span_in_10(*answer.by_ear_share)} in 10 with {entered(answer.power_w, 'W')}"
        for answer in known
        if answer.by_ear_share is not None
    ]
    if not ranges:
        return []
    spread = amount(known[0].mode.spread_db, "dB")
    return [f"For operators who need {spread} more or less: {listed(ranges)}."]


def cell_sentences(found: CellAnswers) -> tuple[str, ...]:
    """Return what is said of a band and hour: voice, Morse, and the mode that was heard."""
    return tuple(mode_sentence(found, mode) for mode in (VOICE, MORSE, found.cell.mode))


def cell_heading(found: CellAnswers) -> str:
    """Return which band and hour, and what was counted there."""
    return f"{capital(place_words(found.cell))}: {cell_words(found.cell)}"


def meaning_sentences(cells: Sequence[CellAnswers]) -> list[str]:
    """Return what the shares of some bands and hours mean, and from which thresholds they come."""
    said = [MEANS, EXPLAINED]
    said += [ATTEMPTS_MEAN] * any(one.cell.lists_attempts for one in cells)
    modes = tuple(dict.fromkeys(answer.mode for one in cells for answer in one.answers))
    return [*said, thresholds_line(modes)] if modes else said


def missing_sentences(found: StationAnswers) -> list[str]:
    """Return what cannot be said and why; nothing where nothing is missing."""
    said = [] if found.cells else [NOTHING]
    said += [few_sentence(cell) for cell in found.few[:FEW_TOLD]]
    if len(found.few) > FEW_TOLD:
        said.append(f"And {len(found.few) - FEW_TOLD} more bands and hours with too few.")
    return [*said, *filter(None, [other_modes_sentence(found), repeats_sentence(found)])]


def few_sentence(cell: Cell) -> str:
    """Return what is missing before anything is said."""
    where = f" on {cell.band}" if cell.band else ""
    return (
        f"{cell.mode.label} with {entered(cell.power_w, 'W')}{where} at {cell.hour:02d}:00:"
        f" {too_few(cell)}."
    )


def price_sentence(found: StationAnswers, unit: str = "kg", units_per_kg: float = 1.0) -> str:
    """Return what the amplifier costs in this plan, its mass in the unit shown.

    Parameters
    ----------
    found : of one station.
    unit, units_per_kg : of mass, and how many of them are a kilogram [1].
    """
    name = called(found.scenario, found.index)
    if found.scenario.stations[found.index].amplifier is None:
        return f"{capital(name)} {NO_AMPLIFIER}."
    if found.price is None:
        return f"What the amplifier of {name} costs is not known: {name} is not calculated."
    return _cost(found.price, name, unit, units_per_kg)


def _cost(price: AmplifierPrice, name: str, unit: str, units_per_kg: float) -> str:
    days = "1 day" if price.days == 1 else f"{price.days} days"
    charge = f"{amount(abs(price.more_ah), 'Ah', 2)} {'more' if price.more_ah >= 0 else 'less'}"
    mass = amount(abs(price.more_kg) * units_per_kg, unit, 2)
    whole = "" if price.is_whole else " A kit that is off the air for a time takes less."
    return (
        f"In this plan the amplifier of {name} takes {charge} in {days.replace(' ', NBSP)} than the"
        f" radio alone, and {mass} to carry.{whole}"
    )


def thresholds_line(modes: tuple[Mode, ...]) -> str:
    """Return the thresholds of some modes with their sources."""
    said = [f"{mode.label} {amount(mode.threshold_db, 'dB')} ({mode.source})" for mode in modes]
    bandwidth = entered(REFERENCE_BANDWIDTH_HZ, "Hz")
    return f"Weakest signal over the noise in {bandwidth}: {listed(said)}."


def other_modes_sentence(found: StationAnswers) -> str:
    """Return which rows were left out; nothing where none were."""
    if not found.other_modes:
        return ""
    names = listed([f"{name} ({count})" for name, count in found.other_modes[:5]])
    return f"Left out, in modes whose threshold is not known: {names}."


def repeats_sentence(found: StationAnswers) -> str:
    """Return how many rows stood in the table before; nothing where none did."""
    if not found.repeats:
        return ""
    rows = "1 row is" if found.repeats == 1 else f"{found.repeats} rows are"
    return f"{rows} the same as an earlier one in every cell: each report counts once."
