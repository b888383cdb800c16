"""What the step rule takes and gives: plain values, no arrays.

Battery current is positive *out of* the battery in here.
"""

from __future__ import annotations

from array import array
from collections.abc import Sequence
from dataclasses import dataclass, field, fields
from math import inf
from typing import Generic, TypeVar

# A number of one kit, or of a fleet: one for all its members or shape (members,).
Of = TypeVar("Of")

CAUSE_NONE, CAUSE_EMPTY, CAUSE_CUTOFF, CAUSE_SAG, CAUSE_BOARD, CAUSE_OVER_VOLTS = range(6)


@dataclass(frozen=True)
class Bounds:
    """What stays the same through a run.

    Attributes
    ----------
    full_ah : tested capacity [Ah].
    rest_table_v, charge_resistance_factor : over TABLE_STEPS + 1 even charge fractions [V], [1].
    rest_start_v, rest_rise_v : the pieces of rest_table_v, each as a line over the place in the
        table: volts at place 0, and rise from one place to the next [V].
    battery_lead_ohm, radio_lead_ohm, amplifier_lead_ohm : leads out and back [ohm].
    charge_efficiency : Ah stored for each Ah put in [1].
    charge_limit_a, discharge_limit_a : of all batteries together, inf where none [A].
    absorption_v : terminal volts that charging does not exceed [V].
    acceptance_h : time of lead's last charge, 0 where none [h].
    rated_a : 20-hour current, above which more gives less; inf where it does not [A].
    cutoff_v, reconnect_v : of the battery [V].
    radio_min_v, amplifier_min_v, receive_min_v : at the set, -inf where not stated [V].
    radio_max_v : at the radio, inf where not stated [V].
    output_limit_a : of the controller, inf where none [A].
    start_margin_v : of the controller [V].
    tied : whether the panel is tied to the battery.
    controller_efficiency : of an mppt controller; 1 where tied [1].
    panel_lead_ohm : leads of the panel [ohm].
    starts_from_dead : whether the panel alone may carry the loads.
    laptop_efficiency, laptop_charge_w, laptop_full_wh : of the laptop's converter and battery
        [1], [W], [Wh].
    store_idle_per_h, store_per_ah : what running and giving take of a source's own store, as a
        share of it [1/h], [1/Ah].
    off_a : radio when off [A].
    listening_a : radio in receive [A].
    receiving_above_v : rest volts above which the radio surely receives in every step [V].
    easy_charge_ah, easy_charge_a : below that charge nothing limits that current [Ah], [A].
    """

    full_ah: float
    rest_table_v: tuple[float, ...]
    rest_start_v: tuple[float, ...]
    rest_rise_v: tuple[float, ...]
    charge_resistance_factor: tuple[float, ...]
    battery_lead_ohm: float
    radio_lead_ohm: float
    amplifier_lead_ohm: float
    charge_efficiency: float
    charge_limit_a: float
    discharge_limit_a: float
    absorption_v: float
    acceptance_h: float
    rated_a: float
    cutoff_v: float
    reconnect_v: float
    radio_min_v: float
    amplifier_min_v: float
    receive_min_v: float
    radio_max_v: float
    output_limit_a: float
    start_margin_v: float
    tied: bool
    controller_efficiency: float
    panel_lead_ohm: float
    starts_from_dead: bool
    laptop_efficiency: float
    laptop_charge_w: float
    laptop_full_wh: float
    store_idle_per_h: float
    store_per_ah: float
    off_a: float
    listening_a: float
    receiving_above_v: float = inf
    easy_charge_ah: float = 0.0
    easy_charge_a: float = 0.0


@dataclass(frozen=True)
class Sending(Generic[Of]):
    """How a block is sent, by one kit or by the members of a fleet.

    Attributes
    ----------
    sqrt_w : square root of the power planned [sqrt(W)].
    current_factor : of the emission [1].
    amplified : whether the amplifier is to work.
    laws : bias and root of the radio, bias and root of the amplifier, over the output power
        [A], [A/sqrt(W)].
    lowest_sqrt_w : least output of that way [sqrt(W)].
    bare_laws : the same for the radio alone; the amplifier's are 0.
    bare_lowest_sqrt_w, bare_highest_sqrt_w : range of the radio alone [sqrt(W)].
    holds_above_v : rest volts above which the planned power of one kit surely holds in every
        step [V].
    """

    sqrt_w: Of
    current_factor: Of
    amplified: bool
    laws: tuple[Of, Of, Of, Of]
    lowest_sqrt_w: Of
    bare_laws: tuple[Of, Of, Of, Of]
    bare_lowest_sqrt_w: Of
    bare_highest_sqrt_w: Of
    holds_above_v: float = inf


KitSending = Sending[float]


@dataclass(frozen=True)
class Course:
    """Inputs of each step, of equal length: lists to run on, views of arrays to keep.

    Attributes
    ----------
    load_a : constant current of all loads at the planned power [A].
    load_w : constant power of all loads, the laptop's only where it has no part in the state [W].
    other_a : constant current besides radio and amplifier [A].
    radio_rest_a, amplifier_rest_a, amplifier_out_a : see StationLoads [A].
    send_share : share of the step spent sending [1].
    sending : how; None where nothing is sent.
    laptop_w : at the laptop, where its battery is part of the state; else empty [W].
    charger_a : offered by chargers [A].
    store_a : offered by a source with a store while it lasts; empty where there is none [A].
    panel_w : what an mppt controller could put out [W].
    open_v, best_v, short_a, saturation_a, knee_v : of the panel's curve [V], [V], [A], [A], [V].
    resistance_ohm : of all batteries at this temperature, full [ohm].
    floor_ah : charge that the cold holds back [Ah].
    rate_excess : Peukert exponent less one, at this temperature [1].
    charge_rate_per_h : most charging current over the capacity: 0 in frost, inf in warmth [1/h].
    """

    load_a: Sequence[float]
    load_w: Sequence[float]
    other_a: Sequence[float]
    radio_rest_a: Sequence[float]
    amplifier_rest_a: Sequence[float]
    amplifier_out_a: Sequence[float]
    send_share: Sequence[float]
    sending: Sequence[KitSending | None]
    laptop_w: Sequence[float]
    charger_a: Sequence[float]
    store_a: Sequence[float]
    panel_w: Sequence[float]
    open_v: Sequence[float]
    best_v: Sequence[float]
    short_a: Sequence[float]
    saturation_a: Sequence[float]
    knee_v: Sequence[float]
    resistance_ohm: Sequence[float]
    floor_ah: Sequence[float]
    rate_excess: Sequence[float]
    charge_rate_per_h: Sequence[float]

    def part(self, first: int, last: int) -> Course:
        """Return the steps from one up to another."""
        return Course(**{each.name: getattr(self, each.name)[first:last] for each in fields(self)})


@dataclass(frozen=True)
class State:
    """What one step hands to the next.

    Attributes
    ----------
    stored_ah, laptop_wh : in the battery, and in the laptop's own [Ah], [Wh].
    store_fraction : left of a source's own store [1].
    dropped : whether the loads are off until the battery has recovered.
    since_drop_ah : net charge taken since then [Ah].
    """

    stored_ah: float
    laptop_wh: float = 0.0
    store_fraction: float = 1.0
    dropped: bool = False
    since_drop_ah: float = 0.0


@dataclass(frozen=True)
class Reduced:
    """A step in which the planned power did not hold.

    ``sqrt_w`` is the square root of the power sent instead, 0 where none holds [sqrt(W)].
    """

    step: int
    sqrt_w: float
    amplified: bool


def _floats() -> array[float]:
    """Return an empty array: a quarter of the memory of a list, and as quick to append to."""
    return array("d")


@dataclass
class Trace:
    """What each step did: dense arrays grow by one a step, the others hold exceptions.

    Attributes
    ----------
    stored_ah : charge at the start of the step [Ah].
    bus_v : mean volts where the loads join [V].
    battery_a : mean current out of the battery [A].
    loads_off, radio_off : steps in which they were.
    reduced : steps sent at less than planned.
    drops : steps in which the loads dropped, with the cause.
    laptop_supply_w : power into the laptop's converter, only where its battery is in the state
        [W].
    store_fraction : left of a source's own store at the start of the step, only where it has one
        [1].
    """

    stored_ah: array[float] = field(default_factory=_floats)
    bus_v: array[float] = field(default_factory=_floats)
    battery_a: array[float] = field(default_factory=_floats)
    loads_off: list[int] = field(default_factory=list)
    radio_off: list[tuple[int, int]] = field(default_factory=list)
    reduced: list[Reduced] = field(default_factory=list)
    drops: list[tuple[int, int]] = field(default_factory=list)
    laptop_supply_w: array[float] = field(default_factory=_floats)
    store_fraction: array[float] = field(default_factory=_floats)
