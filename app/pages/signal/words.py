"""Signals, their price and keep-out distances in words, in the units shown."""

from __future__ import annotations

from app.editors.fields.words import word_of
from app.state.display import Display
from app.widgets.number_text import fixed, quantity, rounded_up, shown_unit
from model.results.signal_levels import SAME_DB, Price, Signal
from model.results.wording import letter
from model.scenario.cautions import cannot_judge
from model.scenario.scenario import Block, Scenario
from model.station.decibels import S_UNIT_DB
from model.station.emission import emission
from model.station.rf_exposure import (
    DIPOLE_DBI,
    GROUP_WORDS,
    UNITED_STATES,
    Exposure,
    ExposureLimits,
)
from model.support.figures import amount, entered, percent, with_unit

NOTHING_SENT = "does not transmit"
NO_FREQUENCY = "no frequency"
HEARD_MEANS = (
    "The difference is that of the power radiated, with antenna gain and losses counted. An S-unit"
    f" is taken as {entered(S_UNIT_DB, 'dB')} (IARU Region 1, Recommendation R.1): a real meter"
    " need not follow it, and on a marginal path each decibel counts. More power helps others to"
    " hear you, not you to hear them. The powers are those planned: In words tells where the"
    " battery cannot hold them."
)
CLEAR_MEANS = (
    f"Limits: {UNITED_STATES.name} (United States), as the mean over"
    f" {entered(UNITED_STATES.public_min, 'min')} for the public and"
    f" {entered(UNITED_STATES.operator_min, 'min')}"
    " for operators. Distances are from the antenna in its main direction, by a far-field formula"
    " with"
    " reflection at the ground; it cannot judge the near field, nearer than a wavelength over 2π."
    " Indicative: local rules decide. Whatever the distance, never let anyone within reach of the"
    " wire or its ends."
)


def titled(scenario: Scenario, index: int) -> str:
    """Return a station's letter and name."""
    name = " ".join(scenario.stations[index].name.split())
    return f"{letter(index)}: {name}" if name else letter(index)


def block_words(block: Block) -> str:
    """Return what a block is, in a line."""
    activity = word_of(block.activity).partition(" (")[0]
    words = [f"{block.start}–{block.end} {activity}", quantity(block.rf_w, "W", 1)]
    if block.frequency_mhz is not None:
        words.append(quantity(block.frequency_mhz, "MHz", 3))
    return ", ".join(words)


def spoken_block(block: Block) -> str:
    """Return what a block is, for those who hear it."""
    return block_words(block).replace("–", " to ", 1)


def price_words(price: Price, display: Display) -> str:
    """Return what the stronger signal costs over the weaker one."""
    strong, weak = letter(price.stronger), letter(price.weaker)
    mass = shown_unit("kg", 1, us=display.is_us)
    cost = price.cost(mass.unit, mass.factor)
    if abs(price.louder_db) < SAME_DB:
        return f"{strong} has the same signal as {weak}; {cost}."
    return f"{strong} is stronger than {weak} by {price.step}; {cost}."


def signal_words(signal: Signal, index: int) -> str:
    """Return all figures of a signal."""
    if signal.rf_w <= 0:
        return f"{NOTHING_SENT}."
    words = (
        f"{entered(signal.rf_w, 'W')} RF output, {amount(signal.antenna_w, 'W')} at the antenna,"
        f" {amount(signal.eirp_w, 'W')} EIRP; {amount(signal.key_down_a, 'A')} from the battery"
        f" with the key down, {amount(signal.per_watt_a, 'A')} per watt of RF"
    )
    if index == 0 or signal.over_first_db is None:
        return f"{words}."
    return f"{words}; {over_first_words(signal)}."


def over_first_words(signal: Signal) -> str:
    """Return how far a signal stands over or under that of the first station."""
    over_db, units = signal.over_first_db, signal.over_first_s_units
    assert over_db is not None
    assert units is not None
    first = letter(0)
    if abs(over_db) < SAME_DB:
        return f"same signal as {first}"
    side = "above" if over_db > 0 else "below"
    return f"{fixed(abs(over_db), 1, 'dB')} {side} {first}, {fixed(abs(units), 1, 'S-units')}"


def signed(value: float | None, unit: str = "") -> str:
    """Return a difference with its sign, a dash where there is none."""
    if value is None:
        return "–"
    text = fixed(value, 1)
    sign = "+" if float(f"{value:.1f}") > 0 else ""
    return with_unit(f"{sign}{text}", unit)


def distance_words(found: Exposure, display: Display) -> str:
    """Return a distance that cannot be taken for less than it is."""
    if found.is_near_field:
        return cannot_judge(_length(found.near_field_m, display))
    return f"at least {_length(found.distance_m, display)}"


def clear_words(found: Exposure, block: Block, display: Display) -> str:
    """Return a distance in a sentence, with the sum behind it."""
    who = GROUP_WORDS[found.group]
    who = f"{who[0].upper()}{who[1:]}"
    averaging_min = UNITED_STATES.averaging_min(found.group)
    duty = emission(block.activity, processed=block.processed).duty_factor
    sum_words = (
        f"mean of {amount(found.mean_eirp_w, 'W')} EIRP: {percent(duty)} of the peak while it"
        f" transmits, which is {percent(found.sending_share)} of"
        f" {entered(averaging_min, 'min')}; limit {amount(found.limit_w_m2, 'W/m²')}"
    )
    if found.is_near_field:
        near = _length(found.near_field_m, display)
        return (
            f"{who}: {cannot_judge(near)}. Keep at least that far away, and never within reach of"
            f" the wire ({sum_words})."
        )
    far = _length(found.distance_m, display)
    return f"{who}: at least {far} from the antenna ({sum_words})."


def unknown_words(block: Block, limits: ExposureLimits = UNITED_STATES) -> str:
    """Return why a block that transmits has no distance, and what would give it one."""
    if block.frequency_mhz is None:
        return "No distance without a frequency: enter that of the block in the plan (F3)."
    return (
        f"{limits.name} has no limit in W/m² at {quantity(block.frequency_mhz, 'MHz', 3)}: keep"
        " everyone well away, and follow the local rules."
    )


def unknown_cell(block: Block) -> str:
    """Return the same in two words."""
    return NO_FREQUENCY if block.frequency_mhz is None else "not in the table"


def assumed_words(scenario: Scenario, index: int) -> str:
    """Return what is assumed of a station without an antenna."""
    return (
        f"{letter(index)} has no antenna: a half-wave dipole of {entered(DIPOLE_DBI, 'dBi')}"
        " without loss in its feed line is assumed."
    )


def _length(length_m: float, display: Display) -> str:
    shown = shown_unit("m", 1, us=display.is_us)
    return with_unit(rounded_up(shown.of(length_m), 1), shown.unit)
