"""The one step rule: what a minute does to a battery, on plain floats.

Everything that does not depend on charge comes in as one value for each step. ``model.batch``
holds the same rule on arrays of kits; a test keeps the two equal.

Signs: battery current is positive *out of* the battery in here.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import expm1, inf, sqrt

from model.cells import TABLE_STEPS

CAUSE_NONE, CAUSE_EMPTY, CAUSE_CUTOFF, CAUSE_SAG, CAUSE_BOARD, CAUSE_OVER_VOLTS = range(6)
CAUSES = (None, "empty", "cutoff", "sag", "board", "over-volts")

# Bias and root terms of the radio's and of the amplifier's key-down law [A], [A/sqrt(W)].
Laws = tuple[float, float, float, float]

# Net charge taken since the loads dropped before they may return, as a share of capacity.
RETURN_CHARGE = 0.01
# Below this share of the capacity a need counts as met: rounding of sums, not physics.
ROUNDING = 1e-9
# Passes in which a tied panel's current and the battery's volts settle.
TIED_PASSES = 4


@dataclass(frozen=True)
class Bounds:
    """What stays the same through a run.

    Attributes
    ----------
    full_ah : tested capacity [Ah].
    rest_table_v, resistance_table : over TABLE_STEPS + 1 even charge fractions.
    battery_lead_ohm, radio_lead_ohm, amplifier_lead_ohm : leads out and back [ohm].
    charge_efficiency : Ah stored for each Ah put in [1].
    charge_limit_a, discharge_limit_a : of all batteries together, inf where none [A].
    absorption_v : terminal volts that charging does not exceed [V].
    acceptance_h : time of lead's last charge, 0 where none [h].
    rated_a, rate_excess : 20-hour current and Peukert exponent less one [A], [1].
    cutoff_v, reconnect_v : of the battery [V].
    radio_min_v, amplifier_min_v, receive_min_v : at the set, -inf where not stated [V].
    radio_max_v : at the radio, inf where not stated [V].
    output_limit_a : of the controller, inf where none [A].
    start_margin_v : of the controller [V].
    tied : whether the panel is tied to the battery.
    controller_efficiency : of an mppt controller; 1 where tied [1].
    panel_lead_ohm : leads of the panel [ohm].
    starts_from_dead : whether the panel alone may carry the loads.
    laptop_efficiency, laptop_charge_w, laptop_full_wh : of the laptop's converter and battery.
    off_a : radio when off [A].
    listening_a : radio in receive [A].
    """

    full_ah: float
    rest_table_v: tuple[float, ...]
    resistance_table: tuple[float, ...]
    battery_lead_ohm: float
    radio_lead_ohm: float
    amplifier_lead_ohm: float
    charge_efficiency: float
    charge_limit_a: float
    discharge_limit_a: float
    absorption_v: float
    acceptance_h: float
    rated_a: float
    rate_excess: float
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
    off_a: float
    listening_a: float


@dataclass(frozen=True)
class Sending:
    """How a block is sent, for the search of the highest power that holds.

    Attributes
    ----------
    root_w : square root of the power planned [sqrt(W)].
    current_factor : of the emission [1].
    amplified : whether the amplifier is to work.
    laws : bias and root of the radio, bias and root of the amplifier, over the output power.
    lowest_root_w : least output of that way [sqrt(W)].
    bare_laws : the same for the radio alone; the amplifier's are 0.
    bare_lowest_root_w, bare_highest_root_w : range of the radio alone [sqrt(W)].
    """

    root_w: float
    current_factor: float
    amplified: bool
    laws: Laws
    lowest_root_w: float
    bare_laws: Laws
    bare_lowest_root_w: float
    bare_highest_root_w: float


@dataclass(frozen=True)
class Course:
    """Inputs of each step, as lists of equal length.

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
    panel_w : what an mppt controller could put out [W].
    open_v, best_v, short_a, saturation_a, knee_v : of the panel's curve [V], [V], [A], [A], [V].
    resistance_ohm : of all batteries at this temperature, full [ohm].
    floor_ah : charge that the cold holds back [Ah].
    may_charge : whether the cells are warm enough.
    """

    load_a: list[float]
    load_w: list[float]
    other_a: list[float]
    radio_rest_a: list[float]
    amplifier_rest_a: list[float]
    amplifier_out_a: list[float]
    send_share: list[float]
    sending: list[Sending | None]
    laptop_w: list[float]
    charger_a: list[float]
    panel_w: list[float]
    open_v: list[float]
    best_v: list[float]
    short_a: list[float]
    saturation_a: list[float]
    knee_v: list[float]
    resistance_ohm: list[float]
    floor_ah: list[float]
    may_charge: list[bool]


@dataclass(frozen=True)
class State:
    """What one step hands to the next."""

    stored_ah: float
    laptop_wh: float = 0.0
    dropped: bool = False
    since_drop_ah: float = 0.0


@dataclass(frozen=True)
class Reduced:
    """A step in which the planned power did not hold.

    ``root_w`` is the square root of the power sent instead, 0 where none holds [sqrt(W)].
    """

    step: int
    root_w: float
    amplified: bool


@dataclass
class Trace:
    """What each step did: dense lists grow by one a step, the others hold exceptions.

    Attributes
    ----------
    stored_ah : charge at the start of the step [Ah].
    bus_v : mean volts where the loads join [V].
    battery_a : mean current out of the battery [A].
    loads_off, radio_off : steps in which they were.
    reduced : steps sent at less than planned.
    drops : steps in which the loads dropped, with the cause.
    laptop_supply_w : power into the laptop's converter, only where its battery is in the state.
    """

    stored_ah: list[float] = field(default_factory=list)
    bus_v: list[float] = field(default_factory=list)
    battery_a: list[float] = field(default_factory=list)
    loads_off: list[int] = field(default_factory=list)
    radio_off: list[tuple[int, int]] = field(default_factory=list)
    reduced: list[Reduced] = field(default_factory=list)
    drops: list[tuple[int, int]] = field(default_factory=list)
    laptop_supply_w: list[float] = field(default_factory=list)


def advance(  # noqa: C901 - one rule in one place: a call for each part would cost more than the part
    course: Course, bounds: Bounds, state: State, step_h: float, *, as_able: bool = True
) -> tuple[Trace, State]:
    """Carry one battery through all steps of a course.

    Parameters
    ----------
    course, bounds, state : inputs of each step, what stays the same, and where it begins.
    step_h : length of a step [h].
    as_able : lower the power where the planned one does not hold; otherwise send it regardless.

    Returns
    -------
    tuple of Trace and State
        What each step did, and the state after the last.
    """
    trace = Trace()
    keep_stored, keep_bus, keep_current = (
        trace.stored_ah.append, trace.bus_v.append, trace.battery_a.append
    )
    full_ah, rest_table, ohm_table = bounds.full_ah, bounds.rest_table_v, bounds.resistance_table
    even_ohm = ohm_table[0] == ohm_table[-1]
    scale, last_cell, tiny_ah = TABLE_STEPS / full_ah, TABLE_STEPS - 1, ROUNDING * full_ah
    lead_ohm, most_v, efficiency = (
        bounds.battery_lead_ohm, bounds.absorption_v, bounds.charge_efficiency
    )
    own_laptop = bool(course.laptop_w)
    radio_can_fail = bounds.receive_min_v > 0.0 or bounds.radio_max_v < inf
    stored, laptop_wh = state.stored_ah, state.laptop_wh
    dropped, since_drop_ah = state.dropped, state.since_drop_ah

    for step, (load_a, load_w, how, charger_a, panel_w, open_v, ohm, floor_ah, may_charge) in (
        enumerate(
            zip(
                course.load_a, course.load_w, course.sending, course.charger_a, course.panel_w,
                course.open_v, course.resistance_ohm, course.floor_ah, course.may_charge,
                strict=True,
            )
        )
    ):
        position = stored * scale
        cell = int(position)
        if cell > last_cell:
            cell = last_cell
        part = position - cell
        low_v = rest_table[cell]
        rest_v = low_v + part * (rest_table[cell + 1] - low_v)
        if not even_ohm:
            ohm *= ohm_table[cell] + part * (ohm_table[cell + 1] - ohm_table[cell])
        total_ohm = ohm + lead_ohm

        source_w = source_a = 0.0
        tied_passes = 0
        if open_v - bounds.start_margin_v > rest_v:
            if bounds.tied or course.best_v[step] < rest_v:
                source_a = tied_current_a(course, bounds, step, rest_v, 0.0)
                tied_passes = TIED_PASSES
            elif panel_w > bounds.output_limit_a * rest_v:
                source_a = bounds.output_limit_a
            else:
                source_w = panel_w

        if own_laptop:
            own_w = min(course.laptop_w[step], laptop_wh / step_h)
            laptop_wh -= own_w * step_h
            supply_w = (course.laptop_w[step] - own_w) / bounds.laptop_efficiency
            load_w += supply_w

        carried = False
        if dropped:
            if (
                since_drop_ah >= RETURN_CHARGE * full_ah
                and rest_v >= bounds.reconnect_v
                and stored > floor_ah
            ):
                dropped = False
            else:
                carried = bounds.starts_from_dead and (
                    source_a * rest_v + source_w >= load_a * rest_v + load_w
                )
        on = not dropped or carried

        if on and radio_can_fail:
            failing = radio_fails(
                course, bounds, step, rest_v, total_ohm,
                source_a + charger_a, load_w - source_w,
            )
            if failing:
                trace.radio_off.append((step, failing))
                load_a = course.other_a[step] + bounds.off_a + course.amplifier_out_a[step]
                how = None
        if on and how is not None and as_able:
            lowered = lower_power(
                how, bounds, rest_v, total_ohm, course.other_a[step] - source_a - charger_a,
                load_w - source_w, course.amplifier_out_a[step],
            )
            if lowered is not None:
                root_w, amplified = lowered
                trace.reduced.append(Reduced(step, root_w, amplified))
                load_a = course.other_a[step] + reduced_load_a(
                    course, bounds, step, how, root_w, amplified=amplified
                )

        while True:
            if on:
                constant_a, power_w = load_a - source_a - charger_a, load_w - source_w
            else:
                constant_a, power_w = -source_a - charger_a, -source_w
            open_bus_v = rest_v - total_ohm * constant_a
            square = open_bus_v * open_bus_v - 4.0 * total_ohm * power_w
            if square < 0.0 or (open_bus_v <= 0.0 and power_w >= 0.0):
                # No volts carry these loads.
                cause = CAUSE_SAG
            else:
                bus_v = 0.5 * (open_bus_v + sqrt(square))
                current_a = constant_a + power_w / bus_v
                if tied_passes:
                    tied_passes -= 1
                    source_a = tied_current_a(course, bounds, step, bus_v, source_a)
                    continue
                cause = CAUSE_NONE
                if current_a > 0.0 and on:
                    drawn_a = current_a
                    if current_a > bounds.rated_a:
                        drawn_a *= (current_a / bounds.rated_a) ** bounds.rate_excess
                    if stored - drawn_a * step_h < floor_ah - tiny_ah:
                        cause = CAUSE_EMPTY
                    elif bus_v + lead_ohm * current_a < bounds.cutoff_v:
                        cause = CAUSE_CUTOFF
                    elif current_a > bounds.discharge_limit_a:
                        cause = CAUSE_BOARD
            if cause and on:
                on = False
                if not dropped:
                    dropped, since_drop_ah = True, 0.0
                    trace.drops.append((step, cause))
                continue
            break
        if not on:
            trace.loads_off.append(step)

        keep_stored(stored)
        if current_a > 0.0:
            stored -= drawn_a * step_h
            if stored < 0.0:
                stored = 0.0
        else:
            limit_a = 0.0
            if may_charge and most_v > rest_v:
                limit_a = min(bounds.charge_limit_a, (full_ah - stored) / (efficiency * step_h))
                if bounds.acceptance_h:
                    limit_a = min(limit_a, (full_ah - stored) / bounds.acceptance_h)
                if ohm * limit_a > most_v - rest_v:
                    limit_a = (most_v - rest_v) / ohm
            if -current_a > limit_a:
                current_a = -limit_a
                bus_v = rest_v + total_ohm * limit_a
                if own_laptop and on and bounds.laptop_charge_w:
                    spare_w = (source_a + charger_a) * bus_v + source_w - (
                        load_w + (load_a + limit_a) * bus_v
                    )
                    taken_w = min(
                        bounds.laptop_charge_w,
                        min(spare_w, source_a * bus_v + source_w) * bounds.laptop_efficiency,
                        (bounds.laptop_full_wh - laptop_wh) / step_h,
                    )
                    if taken_w > 0.0:
                        laptop_wh += taken_w * step_h
                        supply_w += taken_w / bounds.laptop_efficiency
            gained_ah = -current_a * efficiency * step_h
            stored += gained_ah
            since_drop_ah += gained_ah
            if stored > full_ah:
                stored = full_ah
        keep_bus(bus_v)
        keep_current(current_a)
        if own_laptop:
            trace.laptop_supply_w.append(supply_w if on else 0.0)
    return trace, State(stored, laptop_wh, dropped, since_drop_ah)


def tied_current_a(
    course: Course, bounds: Bounds, step: int, battery_v: float, present_a: float
) -> float:
    """Return the current of a panel tied to the battery, on its current-volt curve [A].

    ``present_a`` is the current taken to flow in the panel's leads.
    """
    volts = battery_v + bounds.panel_lead_ohm * present_a
    if volts >= course.open_v[step]:
        return 0.0
    lost_a = course.saturation_a[step] * expm1(volts / course.knee_v[step])
    current_a = max(course.short_a[step] - lost_a, 0.0)
    return min(current_a * bounds.controller_efficiency, bounds.output_limit_a)


def radio_fails(
    course: Course,
    bounds: Bounds,
    step: int,
    rest_v: float,
    ohm: float,
    source_a: float,
    power_w: float,
) -> int:
    """Return why the radio cannot even receive in a step, 0 where it can."""
    listening = bounds.listening_a
    at_radio_v = bounds.radio_lead_ohm * listening
    constant_a = course.other_a[step] + listening + course.amplifier_out_a[step] - source_a
    if not holds(rest_v, ohm, bounds.receive_min_v + at_radio_v, constant_a, power_w):
        return CAUSE_SAG
    highest_v = bounds.radio_max_v + at_radio_v
    # Volts rise above rest only while charging, and then to absorption at most.
    ceiling_v = max(rest_v, bounds.absorption_v) if course.may_charge[step] else rest_v
    if ceiling_v > highest_v and holds(rest_v, ohm, highest_v, constant_a, power_w):
        return CAUSE_OVER_VOLTS
    return CAUSE_NONE


def holds(rest_v: float, ohm: float, at_least_v: float, constant_a: float, power_w: float) -> bool:
    """Return whether the bus stays at or above a voltage.

    The bus volts V are the upper root of V² - (rest_v - ohm*constant_a)*V + ohm*power_w = 0;
    a voltage lies between the roots where the expression below is not negative.
    """
    if at_least_v <= 0.0:
        return True
    return at_least_v * (rest_v - at_least_v - ohm * constant_a) >= ohm * power_w


def highest_root_w(
    rest_v: float, ohm: float, beside_a: float, power_w: float, laws: Laws, bounds: Bounds
) -> float:
    """Return the square root of the highest power at which every limit holds; negative for none.

    Notes
    -----
    The currents are linear in the root s of the power, and so are the bus volts n(s) that a set
    needs. The bus holds while n*(rest_v - n - ohm*I(s)) >= ohm*power_w, a quadratic in s; the
    battery's limit L is met while I(s) + power_w/(rest_v - ohm*L) <= L.
    """
    radio_bias, radio_root, amplifier_bias, amplifier_root = laws
    slope = radio_root + amplifier_root
    base_a = beside_a + radio_bias + amplifier_bias
    best = inf
    for least_v, lead_ohm, bias_a, root_a in (
        (bounds.radio_min_v, bounds.radio_lead_ohm, radio_bias, radio_root),
        (bounds.amplifier_min_v, bounds.amplifier_lead_ohm, amplifier_bias, amplifier_root),
    ):
        if least_v <= 0.0 or not (bias_a or root_a):
            continue
        start_v, rise = least_v + lead_ohm * bias_a, lead_ohm * root_a
        spare_v = rest_v - start_v - ohm * base_a
        constant = start_v * spare_v - ohm * power_w
        if constant < 0.0:
            return -1.0
        linear = start_v * (rise + ohm * slope) - rise * spare_v
        square = rise * (rise + ohm * slope)
        if square > 0.0:
            root = (sqrt(linear * linear + 4.0 * square * constant) - linear) / (2.0 * square)
            best = min(best, root)
        elif linear > 0.0:
            best = min(best, constant / linear)
    limit_a = bounds.discharge_limit_a
    if limit_a < inf:
        loaded_v = rest_v - ohm * limit_a
        spare_a = limit_a - base_a - (power_w / loaded_v if loaded_v > 0.0 else 0.0)
        if spare_a < 0.0:
            return -1.0
        if slope > 0.0:
            best = min(best, spare_a / slope)
    return best


def lower_power(
    how: Sending,
    bounds: Bounds,
    rest_v: float,
    ohm: float,
    beside_a: float,
    power_w: float,
    amplifier_out_a: float,
) -> tuple[float, bool] | None:
    """Return the highest power that holds where the planned one does not, else None.

    Returns
    -------
    Square root of the power [sqrt(W)], 0 where none holds, and whether the amplifier makes it.
    """
    best = (0.0, False)
    if how.amplified:
        root = highest_root_w(rest_v, ohm, beside_a, power_w, how.laws, bounds)
        if root >= how.root_w:
            return None
        if root >= how.lowest_root_w:
            best = (root, True)
    root = highest_root_w(
        rest_v, ohm, beside_a + amplifier_out_a, power_w, how.bare_laws, bounds
    )
    if root >= how.root_w and not how.amplified:
        return None
    root = min(root, how.root_w, how.bare_highest_root_w)
    if root >= min(how.bare_lowest_root_w, how.root_w) and root > best[0]:
        best = (root, False)
    return best


def reduced_load_a(
    course: Course, bounds: Bounds, step: int, how: Sending, root_w: float, *, amplified: bool
) -> float:
    """Return the mean current of radio and amplifier at less than the planned power [A]."""
    share = course.send_share[step]
    resting_a = course.radio_rest_a[step]
    if root_w <= 0.0:
        return resting_a + share * bounds.listening_a + course.amplifier_out_a[step]
    bias_a, root_a, amplifier_bias_a, amplifier_root_a = how.laws if amplified else how.bare_laws
    radio_a = bias_a + how.current_factor * root_a * root_w
    if not amplified:
        return resting_a + share * radio_a + course.amplifier_out_a[step]
    amplifier_a = amplifier_bias_a + how.current_factor * amplifier_root_a * root_w
    return resting_a + share * (radio_a + amplifier_a) + course.amplifier_rest_a[step]
