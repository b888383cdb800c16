"""The one step rule: what a minute does to a battery, on plain floats.

Everything that does not depend on charge comes in as one value for each step. ``batch``
holds the same rule on arrays of kits; a test keeps the two equal.
"""

from __future__ import annotations

from math import inf, sqrt

from model.engine.own_store import store_left, store_offer_a
from model.engine.step_parts import charging_limit_a, doubtful_load_a, laptop_takes_w
from model.engine.step_values import (
    CAUSE_BOARD,
    CAUSE_CUTOFF,
    CAUSE_EMPTY,
    CAUSE_NONE,
    CAUSE_SAG,
    Bounds,
    Course,
    State,
    Trace,
)
from model.engine.sub_rules import PLAIN
from model.engine.tied_panel import settled_tied_a
from model.station.chemistry import TABLE_STEPS

# Net charge taken since the loads dropped before they may return, as a share of capacity.
RETURN_CHARGE = 0.01
# Below this share of the capacity a need counts as met: rounding of sums, not physics.
ROUNDING = 1e-9


# One rule in one place: what is done in every step stands here, as a call would cost more than it;
# what only some steps need stands in ``step_parts``.
def advance(  # noqa: C901
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

    Notes
    -----
    The bus volts V are the upper root of V² - (rest volts - R I) V + R P = 0, with all currents I
    and powers P that do not depend on V; the derivation is Ohm's law. Rate: Peukert's law on
    currents above the 20-hour rate. Common practice, no source.
    """
    trace = Trace()
    keep_stored, keep_bus, keep_current = (
        trace.stored_ah.append,
        trace.bus_v.append,
        trace.battery_a.append,
    )
    full_ah, rest_start_v, rest_rise_v = bounds.full_ah, bounds.rest_start_v, bounds.rest_rise_v
    ohm_table = bounds.charge_resistance_factor
    even_ohm = ohm_table[0] == ohm_table[-1]
    scale, last_cell, tiny_ah = TABLE_STEPS / full_ah, TABLE_STEPS - 1, ROUNDING * full_ah
    lead_ohm, efficiency = bounds.battery_lead_ohm, bounds.charge_efficiency
    laptop_asks_w = course.laptop_w
    own_laptop = len(laptop_asks_w) > 0
    store_asks_a = course.store_a
    own_store = len(store_asks_a) > 0
    own_state = own_laptop or own_store
    keep_supply, keep_store = trace.laptop_supply_w.append, trace.store_fraction.append
    # Names of this function are read in a third of the time of an attribute.
    rated_a, cutoff_v, board_a = bounds.rated_a, bounds.cutoff_v, bounds.discharge_limit_a
    margin_v, output_a, always_tied = bounds.start_margin_v, bounds.output_limit_a, bounds.tied
    laptop_efficiency, laptop_charge_w = bounds.laptop_efficiency, bounds.laptop_charge_w
    laptop_full_wh = bounds.laptop_full_wh
    best_v, unlimited = course.best_v, inf
    safe_v, easy_ah, easy_a = (
        bounds.receiving_above_v,
        bounds.easy_charge_ah,
        bounds.easy_charge_a,
    )
    stored, laptop_wh = state.stored_ah, state.laptop_wh
    dropped, since_drop_ah = state.dropped, state.since_drop_ah
    store, stored_a = state.store_fraction, 0.0

    for step, (
        load_a,
        load_w,
        how,
        charger_a,
        panel_w,
        open_v,
        ohm,
        floor_ah,
        rate_excess,
        charge_rate,
    ) in enumerate(
        zip(
            course.load_a,
            course.load_w,
            course.sending,
            course.charger_a,
            course.panel_w,
            course.open_v,
            course.resistance_ohm,
            course.floor_ah,
            course.rate_excess,
            course.charge_rate_per_h,
            strict=True,
        )
    ):
        # The battery at rest.
        position = stored * scale
        cell = int(position)
        if cell > last_cell:
            cell = last_cell
        rest_v = rest_start_v[cell] + position * rest_rise_v[cell]
        if not even_ohm:
            below = ohm_table[cell]
            ohm *= below + (position - cell) * (ohm_table[cell + 1] - below)
        total_ohm = ohm + lead_ohm

        # What draws on, or gives from, a store of its own.
        supply_w = 0.0
        if own_state:
            if own_laptop and laptop_asks_w[step]:
                asked_w = laptop_asks_w[step]
                own_w = laptop_wh / step_h
                if asked_w < own_w:
                    own_w = asked_w
                laptop_wh -= own_w * step_h
                supply_w = (asked_w - own_w) / laptop_efficiency
                load_w += supply_w
            if own_store:
                stored_a = store_offer_a(bounds, store_asks_a[step], store, step_h, PLAIN)
                charger_a += stored_a

        # What the panel offers, as a current or as a power.
        source_w = source_a = 0.0
        tied = False
        # A copy of ``sub_rules.panel_offer``: to call it in every lit step costs a tenth of a run.
        if open_v - margin_v > rest_v:
            if always_tied or best_v[step] < rest_v:
                tied = True
                source_a = settled_tied_a(
                    course, bounds, step, rest_v, total_ohm, load_a - charger_a, load_w
                )
            elif panel_w > output_a * rest_v:
                source_a = output_a
            else:
                source_w = panel_w

        # Whether the loads are on.
        on = True
        if dropped:
            if (
                since_drop_ah >= RETURN_CHARGE * full_ah
                and rest_v >= bounds.reconnect_v
                and stored > floor_ah
            ):
                dropped = False
            else:
                on = bounds.starts_from_dead and (
                    source_a * rest_v + source_w >= load_a * rest_v + load_w
                )

        # A tied panel was settled with all loads on.
        settled = on
        # Whether the radio receives, and what power it sends.
        limit_a = -1.0
        if on and how is not None and (rest_v >= how.holds_above_v or not as_able):
            how = None
        if on and (how is not None or rest_v < safe_v):
            ceiling_v = inf
            if source_w or source_a or charger_a:
                bears_a = charge_rate * full_ah
                limit_a = charging_limit_a(bounds, stored, rest_v, ohm, step_h, bears_a)
                # However much is offered, the volts rise no further than what is taken lets them.
                ceiling_v = rest_v + total_ohm * limit_a
            less_a = doubtful_load_a(
                course,
                bounds,
                trace,
                step,
                how,
                rest_v,
                total_ohm,
                source_a + charger_a,
                load_w - source_w,
                ceiling_v,
            )
            if less_a is not None:
                load_a = less_a
                settled = False

        # The volts at which sources, loads and battery settle, with the loads and else without.
        while True:
            if tied and not settled:
                source_a = settled_tied_a(
                    course,
                    bounds,
                    step,
                    rest_v,
                    total_ohm,
                    (load_a if on else 0.0) - charger_a,
                    load_w if on else 0.0,
                )
            if on:
                constant_a, power_w = load_a - source_a - charger_a, load_w - source_w
            else:
                constant_a, power_w = -source_a - charger_a, -source_w
            bus_v = rest_v - total_ohm * constant_a
            current_a = constant_a
            # As in ``sub_rules.bus_v``.
            if power_w:
                square = bus_v * bus_v - 4.0 * total_ohm * power_w
                if square >= 0.0:
                    bus_v = 0.5 * (bus_v + sqrt(square))
                    if bus_v > 0.0:
                        current_a += power_w / bus_v
                else:
                    bus_v = 0.0
            cause = CAUSE_NONE
            if bus_v <= 0.0:
                # No volts carry these loads.
                cause = CAUSE_SAG
            elif current_a > 0.0:
                drawn_ah = current_a * step_h
                if current_a > rated_a and rate_excess:
                    drawn_ah *= (current_a / rated_a) ** rate_excess
                if stored - drawn_ah < floor_ah - tiny_ah:
                    cause = CAUSE_EMPTY
                elif bus_v + lead_ohm * current_a < cutoff_v:
                    cause = CAUSE_CUTOFF
                elif current_a > board_a:
                    cause = CAUSE_BOARD
            if cause and on:
                on = settled = False
                if not dropped:
                    trace.drops.append((step, cause))
                    # A protection that tripped on current closes once the load is gone.
                    if cause != CAUSE_BOARD:
                        dropped, since_drop_ah = True, 0.0
                continue
            break

        # What leaves the battery, or goes into it.
        keep_stored(stored)
        if current_a > 0.0:
            stored -= drawn_ah
            if stored < 0.0:
                stored = 0.0
        else:
            if limit_a < 0.0:
                bears_a = charge_rate * full_ah
                if stored <= easy_ah and -current_a <= easy_a and -current_a <= bears_a:
                    limit_a = unlimited
                elif not bears_a:
                    limit_a = 0.0
                else:
                    limit_a = charging_limit_a(bounds, stored, rest_v, ohm, step_h, bears_a)
            if -current_a > limit_a:
                current_a = -limit_a
                bus_v = rest_v + total_ohm * limit_a
                if own_laptop and on and laptop_charge_w and laptop_wh < laptop_full_wh:
                    taken_w = laptop_takes_w(
                        bounds,
                        laptop_wh,
                        step_h,
                        spare_w=(source_a + charger_a) * bus_v
                        + source_w
                        - (load_w + (load_a + limit_a) * bus_v),
                        sun_w=source_a * bus_v + source_w,
                    )
                    if taken_w > 0.0:
                        laptop_wh += taken_w * step_h
                        supply_w += taken_w / laptop_efficiency
                        load_w += taken_w / laptop_efficiency
            gained_ah = -current_a * efficiency * step_h
            stored += gained_ah
            since_drop_ah += gained_ah
            if stored > full_ah:
                stored = full_ah
        keep_bus(bus_v)
        keep_current(current_a)
        if not on:
            trace.loads_off.append(step)
        if own_state:
            if own_laptop:
                keep_supply(supply_w if on else 0.0)
            if own_store:
                keep_store(store)
                store = store_left(
                    bounds,
                    store_asks_a[step],
                    stored_a,
                    store,
                    step_h,
                    PLAIN,
                    given_a=(load_a + load_w / bus_v if on else 0.0) - current_a,
                    others_a=source_a + source_w / bus_v + charger_a - stored_a,
                )
    return trace, State(stored, laptop_wh, store, dropped, since_drop_ah)
