"""Many kits at once: inputs of the step rule that all share, or that each has of its own.

A fleet is one kit many times over, with some numbers varied. What decides the way of the
calculation is the same for all members: chemistry, cells, kind of controller, which parts there
are, and which blocks need the amplifier.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from functools import cached_property
from typing import Any

import numpy as np

from model.engine.inputs import Inputs
from model.engine.step_values import Bounds, Course, KitSending, Sending
from model.station.chemistry import Floats
from model.station.transmit_path import alone, way_for

# One value for all members, or shape (members,).
Each = float | Floats
FleetSending = Sending[Each]

SAME_FOR_ALL = ("rest_table_v", "charge_resistance_factor", "tied", "starts_from_dead")
# What spares the rule for one kit a closer look; the batch has its own of the kind.
FOR_ONE_KIT = ("receiving_above_v", "easy_charge_ah", "easy_charge_a")
VARIED_LIMITS = tuple(
    f.name for f in fields(Bounds) if f.type == "float" and f.name not in FOR_ONE_KIT
)
VARIED_COURSE = tuple(f.name for f in fields(Course) if f.name != "sending")


@dataclass(frozen=True, eq=False)
class KeyDown:
    """The currents a clock is tested at; see ``model.engine.clocks.abilities``.

    Attributes
    ----------
    radio_a, amplifier_a : with the key down, number or shape (members,) [A].
    amplified : whether the amplifier works.
    """

    radio_a: Each
    amplifier_a: Each
    amplified: bool


@dataclass(frozen=True, eq=False)
class Fleet:
    """What a batch run takes.

    Attributes
    ----------
    members, steps, step_h : how many kits, steps, and the length of a step [h].
    shared : limits that are the same for all.
    limits : every number of ``Bounds``, one value or shape (members,) [unit of each there].
    course : every list of ``Course`` but ``sending``, shape (steps,) or (steps, members) [unit of
        each there].
    send_row : entry of ``sendings`` in each step, -1 where nothing is sent; (steps,) or
        (steps, members).
    sendings : how each block is sent.
    start_ah, start_laptop_wh : charge at the start [Ah], [Wh].
    reserve_fraction : charge meant to be left [1].
    full_power, reduced_power : what the clocks are tested at; None where nothing is to be sent.
    own_laptop : whether a laptop's battery is part of the state.
    repeats : each member of the course and of ``send_row`` stands for so many in a row.
    """

    members: int
    steps: int
    step_h: float
    shared: Bounds
    limits: Mapping[str, Each]
    course: Mapping[str, Floats]
    send_row: np.ndarray
    sendings: tuple[FleetSending | None, ...]
    start_ah: Each
    start_laptop_wh: Each
    reserve_fraction: Each
    full_power: KeyDown | None
    reduced_power: KeyDown | None
    own_laptop: bool
    repeats: int = 1

    @cached_property
    def most(self) -> dict[str, Each]:
        """The greatest of each number of the course in any step, one value or shape (members,)."""
        return {
            name: self.each(values.max(axis=0))
            for name, values in self.course.items()
            if values.size
        }

    def each(self, row: Any) -> Any:
        """Return one step of the course for every member, or the one value of all."""
        if isinstance(row, np.ndarray) and row.ndim and row.shape[-1] != self.members:
            return np.repeat(row, self.repeats, axis=-1)
        return row


def fleet_of_one(
    inputs: Inputs,
    members: int,
    *,
    limits: Mapping[str, Each] | None = None,
    course: Mapping[str, Floats] | None = None,
    start_ah: Each | None = None,
) -> Fleet:
    """Return one kit ``members`` times over, with some limits and some of the course varied.

    Parameters
    ----------
    inputs : of the kit.
    members : how many.
    limits : by the name in ``Bounds``, shape (members,) [unit of each there].
    course : by the name in ``Course``, shape (steps, members) [unit of each there].
    start_ah : charge at the start, number or shape (members,) [Ah].

    Returns
    -------
    The fleet, all else as in the kit.

    Raises
    ------
    ValueError
        When a name is neither of a limit nor of the course: what was drawn would go unused.
    """
    bounds, given = inputs.bounds, inputs.course
    if unknown := {*(limits or {}), *(course or {})} - {*VARIED_LIMITS, *VARIED_COURSE}:
        raise ValueError(f"the step rule takes no {', '.join(sorted(unknown))}")
    full, reduced = _key_down([inputs])
    return Fleet(
        members=members,
        steps=inputs.steps,
        step_h=inputs.step_min / 60,
        shared=bounds,
        limits={name: getattr(bounds, name) for name in VARIED_LIMITS} | dict(limits or {}),
        course={name: np.array(getattr(given, name), dtype=float) for name in VARIED_COURSE}
        | dict(course or {}),
        send_row=_send_row(inputs),
        sendings=_sendings([inputs]),
        start_ah=inputs.start.stored_ah if start_ah is None else start_ah,
        start_laptop_wh=inputs.start.laptop_wh,
        reserve_fraction=inputs.station.reserve_fraction,
        full_power=full,
        reduced_power=reduced,
        own_laptop=bool(given.laptop_w),
    )


def fleet_of(members: Sequence[Inputs]) -> Fleet:
    """Return a fleet of kits that were assembled one by one.

    Raises
    ------
    ValueError
        When the members differ in what decides the way of the calculation.
    """
    first = members[0]
    if any(kind_of(other) != kind_of(first) for other in members[1:]):
        raise ValueError("kits of a fleet must have the same parts, plan and steps")
    full, reduced = _key_down(members)
    return Fleet(
        members=len(members),
        steps=first.steps,
        step_h=first.step_min / 60,
        shared=first.bounds,
        limits={name: _each([getattr(m.bounds, name) for m in members]) for name in VARIED_LIMITS},
        course={
            name: _stacked([getattr(m.course, name) for m in members]) for name in VARIED_COURSE
        },
        send_row=_send_row(first),
        sendings=_sendings(members),
        start_ah=_each([m.start.stored_ah for m in members]),
        start_laptop_wh=_each([m.start.laptop_wh for m in members]),
        reserve_fraction=_each([m.station.reserve_fraction for m in members]),
        full_power=full,
        reduced_power=reduced,
        own_laptop=bool(first.course.laptop_w),
    )


def _each(values: Sequence[float]) -> Each:
    """Return the one value all have, or all of them."""
    if all(value == values[0] for value in values):
        return float(values[0])
    return np.array(values, dtype=float)


def _stacked(rows: Sequence[Sequence[float]]) -> Floats:
    values = [np.asarray(row, dtype=float) for row in rows]
    if all(np.array_equal(other, values[0]) for other in values[1:]):
        return values[0]
    return np.stack(values, axis=1)


def kind_of(inputs: Inputs) -> tuple[object, ...]:
    """Return what must be the same for all members of a fleet."""
    return (
        tuple(getattr(inputs.bounds, name) for name in SAME_FOR_ALL),
        inputs.steps,
        inputs.step_min,
        bool(inputs.course.laptop_w),
        bool(inputs.course.store_a),
        inputs.loads.send_row.tobytes(),
        tuple(how.way.amplified if how.way else None for how in inputs.loads.sendings),
    )


def _send_row(inputs: Inputs) -> np.ndarray:
    silent = [
        row for row, step in _a_step_of_each(inputs).items() if inputs.course.sending[step] is None
    ]
    rows = inputs.loads.send_row.astype(np.int64)
    return np.where(np.isin(rows, silent), -1, rows) if silent else rows


def _a_step_of_each(inputs: Inputs) -> dict[int, int]:
    """Return a step in which each block is sent, for the blocks that are."""
    rows = inputs.loads.send_row
    sent = np.flatnonzero(rows >= 0)
    steps = np.full(len(inputs.loads.sendings), -1)
    steps[rows[sent]] = sent
    return {row: step for row, step in enumerate(steps.tolist()) if step >= 0}


def _sendings(members: Sequence[Inputs]) -> tuple[FleetSending | None, ...]:
    """Return how each block is sent, one entry for each block of the plan."""
    ways: list[FleetSending | None] = [None] * len(members[0].loads.sendings)
    for row, step in _a_step_of_each(members[0]).items():
        hows = [how for m in members if (how := m.course.sending[step]) is not None]
        if hows:
            ways[row] = sending_of(hows)
    return tuple(ways)


def sending_of(hows: Sequence[KitSending]) -> FleetSending:
    """Return how one block is sent by each member; all with the amplifier, or none."""
    return Sending(
        amplified=hows[0].amplified,
        current_factor=_each([how.current_factor for how in hows]),
        sqrt_w=_each([how.sqrt_w for how in hows]),
        laws=_each_of_four([how.laws for how in hows]),
        lowest_sqrt_w=_each([how.lowest_sqrt_w for how in hows]),
        bare_laws=_each_of_four([how.bare_laws for how in hows]),
        bare_lowest_sqrt_w=_each([how.bare_lowest_sqrt_w for how in hows]),
        bare_highest_sqrt_w=_each([how.bare_highest_sqrt_w for how in hows]),
    )


def _each_of_four(
    laws: Sequence[tuple[float, float, float, float]],
) -> tuple[Each, Each, Each, Each]:
    a, b, c, d = (_each(list(column)) for column in zip(*laws, strict=True))
    return a, b, c, d


def _key_down(members: Sequence[Inputs]) -> tuple[KeyDown | None, KeyDown | None]:
    """Return what the clocks of full and of reduced power are tested at."""
    full, reduced = [], []
    amplified = False
    for inputs in members:
        highest_w = max((how.rf_w for how in inputs.loads.sendings), default=0.0)
        if highest_w <= 0:
            return None, None
        way, rf_w = way_for(inputs.station, highest_w)
        bare = alone(inputs.station)
        amplified = way.amplified
        full.append((way.radio.current_a(rf_w), way.amplifier.current_a(rf_w)))
        reduced.append(bare.radio.current_a(min(bare.lowest_w, rf_w)))
    radio_a, amplifier_a = zip(*full, strict=True)
    return KeyDown(_each(radio_a), _each(amplifier_a), amplified), KeyDown(
        _each(reduced), 0.0, amplified=False
    )


def sent_by(how: FleetSending | None, radio_by: Each, amplifier_by: Each) -> FleetSending | None:
    """Return how a block is sent with the currents of radio and amplifier multiplied.

    Parameters
    ----------
    how : None where nothing is sent.
    radio_by, amplifier_by : factors, one or shape (members,) [1].

    Returns
    -------
    The same with other laws [A], [A/sqrt(W)].
    """
    if how is None:
        return None
    bias_a, root_a, amplifier_bias_a, amplifier_root_a = how.laws
    bare_bias_a, bare_root_a, _, _ = how.bare_laws
    return replace(
        how,
        laws=(
            bias_a * radio_by,
            root_a * radio_by,
            amplifier_bias_a * amplifier_by,
            amplifier_root_a * amplifier_by,
        ),
        bare_laws=(bare_bias_a * radio_by, bare_root_a * radio_by, 0.0, 0.0),
    )


def keyed_by(key: KeyDown | None, radio_by: Each, amplifier_by: Each) -> KeyDown | None:
    """Return what clocks are tested at with the currents of radio and amplifier multiplied.

    Parameters
    ----------
    key : None where nothing is to be sent.
    radio_by, amplifier_by : factors, one or shape (members,) [1].

    Returns
    -------
    The same with other currents [A].
    """
    if key is None:
        return None
    return KeyDown(key.radio_a * radio_by, key.amplifier_a * amplifier_by, key.amplified)


def side_by_side(fleets: Sequence[Fleet]) -> Fleet:
    """Return the members of several fleets of one kit as one; their courses are of every member.

    Where a block is sent in some of them only, those say how.
    """
    first = fleets[0]
    members = sum(fleet.members for fleet in fleets)

    def joined(name: str) -> Each:
        values = [fleet.limits[name] for fleet in fleets]
        if all(np.ndim(value) == 0 and value == values[0] for value in values):
            return values[0]
        return np.concatenate(
            [np.broadcast_to(one, fleet.members) for one, fleet in zip(values, fleets, strict=True)]
        )

    return replace(
        first,
        members=members,
        limits={name: joined(name) for name in first.limits},
        course={
            name: np.concatenate([fleet.course[name] for fleet in fleets], axis=-1)
            for name in first.course
        },
        send_row=np.concatenate([fleet.send_row for fleet in fleets], axis=-1),
        sendings=tuple(
            next((how for how in hows if how is not None), None)
            for hows in zip(*(fleet.sendings for fleet in fleets), strict=True)
        ),
    )


def repeated(fleet: Fleet, times: int) -> Fleet:
    """Return a fleet in which each member stands ``times`` times in a row.

    The course is shared, as it may be long; the members of ``fleet`` must be single ones.
    """

    def again(value: Each) -> Each:
        return np.repeat(value, times) if isinstance(value, np.ndarray) else value

    def again_sent(how: FleetSending | None) -> FleetSending | None:
        if how is None:
            return None
        a, b, c, d = how.laws
        e, f, g, h = how.bare_laws
        return replace(
            how,
            current_factor=again(how.current_factor),
            sqrt_w=again(how.sqrt_w),
            laws=(again(a), again(b), again(c), again(d)),
            lowest_sqrt_w=again(how.lowest_sqrt_w),
            bare_laws=(again(e), again(f), again(g), again(h)),
            bare_lowest_sqrt_w=again(how.bare_lowest_sqrt_w),
            bare_highest_sqrt_w=again(how.bare_highest_sqrt_w),
        )

    def again_keyed(key: KeyDown | None) -> KeyDown | None:
        if key is None:
            return None
        return KeyDown(again(key.radio_a), again(key.amplifier_a), key.amplified)

    return replace(
        fleet,
        members=fleet.members * times,
        limits={name: again(value) for name, value in fleet.limits.items()},
        repeats=times,
        sendings=tuple(again_sent(how) for how in fleet.sendings),
        start_ah=again(fleet.start_ah),
        start_laptop_wh=again(fleet.start_laptop_wh),
        reserve_fraction=again(fleet.reserve_fraction),
        full_power=again_keyed(fleet.full_power),
        reduced_power=again_keyed(fleet.reduced_power),
    )
