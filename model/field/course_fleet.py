"""A station many times over, each member with factors of its own, run through the trip at once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from model.engine.batch import FleetStep, run_batch
from model.engine.batch_notes import Booleans
from model.engine.comparison import COARSE_STEP_MIN
from model.engine.fleet import Fleet, fleet_of_one, keyed_by, sent_by
from model.engine.inputs import Inputs, station_inputs
from model.engine.run import StationRun
from model.field.unknowns import Unknown, paths_of_use
from model.odds.spread_fleet import drawn_loads
from model.station.chemistry import Floats
from model.support.cache import kept_while_it_lives

# What of a panel's curve grows with its light.
OF_LIGHT = ("panel_w", "short_a", "saturation_a")
# A day's own sun, over that entered, that the light is worked out for.
SUN_NODES = np.array([0.0, 0.25, 0.45, 0.65, 0.8, 0.9, 1.0, 1.1, 1.25, 1.5, 2.0])


@dataclass(frozen=True, eq=False)
class Courses:
    """How each member fared.

    Attributes
    ----------
    step_h : length of a step [h].
    full_ah : tested capacity, shape (members,) [Ah].
    stored_ah : at step boundaries, shape (steps + 1, members) [Ah].
    floor_ah : charge that the cold holds back, shape (steps, members) [Ah].
    receives : in each step, shape (steps, members).
    drawn_a, panel_a, bus_v : in the steps asked for, each of shape (members,) [A], [A], [V].
    full_power_h : when full power first fails, inf where it lasts, shape (members,) [h].
    """

    step_h: float
    full_ah: Floats
    stored_ah: Floats
    floor_ah: Floats
    receives: Booleans
    drawn_a: Mapping[int, Floats]
    panel_a: Mapping[int, Floats]
    full_power_h: Floats

    @property
    def members(self) -> int:
        """How many."""
        return self.full_ah.size

    def part_borne(self, steps: NDArray[np.int64]) -> Floats:
        """Return how much of the step in which it goes off each member would still have borne.

        Parameters
        ----------
        steps : the first step off the air of each member, shape (members,).

        Returns
        -------
        Share of a step: charge left over that drawn in the step before, shape (members,) [1].
        """
        who = np.arange(self.members)
        at = np.clip(steps, 1, len(self.floor_ah) - 1)
        left_ah = self.stored_ah[at, who] - self.floor_ah[at, who]
        drawn_ah = self.stored_ah[at - 1, who] - self.stored_ah[at, who]
        with np.errstate(divide="ignore", invalid="ignore"):
            share = np.where(drawn_ah > 0, left_ah / drawn_ah, 0.0)
        return np.clip(share, 0.0, 1.0)


class FactorFleets:
    """Makes fleets of one planned run with the factors of its unknowns, and runs them.

    What the loads draw is linear in the factor of each use: it is worked out once for each.
    """

    def __init__(self, run: StationRun, unknowns: Sequence[Unknown]) -> None:
        self._run, self._unknowns = run, tuple(unknowns)
        self._inputs: Inputs = station_inputs(
            run.site, run.trip, run.plan, run.station, run.shared, COARSE_STEP_MIN
        )
        self._loads = [each for each in unknowns if each.group == "load"]
        self._as_entered = self._loads_with(())
        self._more = [
            {
                name: rows - self._as_entered[name]
                for name, rows in self._loads_with(paths_of_use(each.key, run.station)).items()
            }
            for each in self._loads
        ]
        self._tables = _light_tables(run) if any(each.key == "sun" for each in unknowns) else {}
        self._date_of_step = replace(run.clock, step_min=COARSE_STEP_MIN).date_of_step()

    def _loads_with(self, doubled: Sequence[str]) -> dict[str, Floats]:
        """Return what the loads draw with some numbers doubled, shape (steps,) each."""
        run, inputs = self._run, self._inputs
        loads = drawn_loads(
            run.site, run.trip, run.plan, run.station, run.shared, inputs,
            lambda path: 2.0 if path in doubled else 1.0, inputs.step_min,
        )  # fmt: skip
        return {name: np.asarray(rows)[:, 0] for name, rows in loads.items()}

    @property
    def steps(self) -> int:
        """How many steps a run has."""
        return self._inputs.steps

    @property
    def step_h(self) -> float:
        """Length of a step [h]."""
        return self._inputs.step_min / 60

    def run(
        self,
        factors: Floats,
        look_at: frozenset[int] = frozenset(),
        steps: int | None = None,
        *,
        with_power: bool = True,
    ) -> Courses:
        """Run members with these factors.

        Parameters
        ----------
        factors : of each unknown, shape (members, unknowns) [1].
        look_at : steps whose currents are kept.
        steps : how far to go, to the end unless said otherwise.
        with_power : whether to find out when full power fails.

        Returns
        -------
        The course of each.
        """
        track = _Track(look_at)
        fleet = self._fleet(factors, min(steps or self.steps, self.steps))
        if not with_power:
            fleet = replace(fleet, full_power=None, reduced_power=None)
        outcomes = run_batch(fleet, track)
        full_ah = np.broadcast_to(fleet.limits["full_ah"], (fleet.members,))
        stored = np.vstack([*track.stored, outcomes.end_fraction * full_ah])
        full_power = outcomes.hours(outcomes.full_power)
        if fleet.full_power is None:
            full_power = np.full(fleet.members, np.inf)
        return Courses(
            self.step_h, full_ah, stored, _floor_ah(fleet), np.array(track.receives),
            track.drawn_a, track.panel_a, full_power,
        )  # fmt: skip

    def _fleet(self, factors: Floats, steps: int) -> Fleet:
        run, inputs = self._run, self._inputs
        by_key = {each.key: factors[:, at] for at, each in enumerate(self._unknowns)}
        ones = np.ones(len(factors))
        full_ah = inputs.bounds.full_ah * by_key["battery"]
        start = np.minimum(run.station.start_fraction * by_key["start"], 1.0)
        floor = np.asarray(inputs.course.floor_ah, dtype=float)
        course = self._drawn(by_key, steps) | self._light(by_key, steps)
        if floor.any():
            course["floor_ah"] = floor[:steps, None] * by_key["battery"]
        fleet = fleet_of_one(
            inputs,
            len(factors),
            limits={
                "full_ah": full_ah,
                "listening_a": inputs.bounds.listening_a * by_key.get("receive", ones),
            },
            course=course,
            start_ah=start * full_ah,
        )
        sends = by_key.get("transmit", ones)
        return replace(
            fleet,
            steps=steps,
            course={name: values[:steps] for name, values in fleet.course.items()},
            send_row=fleet.send_row[:steps],
            sendings=tuple(sent_by(how, sends, sends) for how in fleet.sendings),
            full_power=keyed_by(fleet.full_power, sends, sends),
            reduced_power=keyed_by(fleet.reduced_power, sends, sends),
        )

    def _drawn(self, by_key: Mapping[str, Floats], steps: int) -> dict[str, Floats]:
        """Return what the loads of each member draw; what no factor moves is left as it is."""
        course = {}
        for name, entered in self._as_entered.items():
            moving = [
                (more[name], by_key[each.key] - 1.0)
                for each, more in zip(self._loads, self._more, strict=True)
                if more[name].any()
            ]
            if moving:
                parts, factors = (np.array(column) for column in zip(*moving, strict=True))
                course[name] = entered[:steps, None] + parts[:, :steps].T @ factors
        return course

    def _light(self, by_key: Mapping[str, Floats], steps: int) -> dict[str, Floats]:
        """Return what the panel offers, under each member's sun of each date."""
        if "sun" not in by_key:
            return {}
        members = by_key["sun"].size
        offered = {name: np.zeros((steps, members)) for name in OF_LIGHT}
        of_date = self._date_of_step[:steps]
        for date in range(int(of_date[-1]) + 1):
            sun = by_key.get(f"day.{date}", np.ones(members))
            shares = _node_shares(sun) * by_key["sun"]
            rows = np.flatnonzero(of_date == date)
            for name, values in offered.items():
                table = self._tables[name][rows]
                lit = table.any(axis=1)
                values[rows[lit]] = table[lit] @ shares
        return offered


def _node_shares(sun: Floats) -> Floats:
    """Return how much of each node of the day's sun a member's is, shape (nodes, members)."""
    last = SUN_NODES.size - 1
    place = np.interp(sun, SUN_NODES, np.arange(last + 1.0))
    shares: Floats = np.maximum(1.0 - np.abs(place - np.arange(last + 1.0)[:, None]), 0.0)
    return shares


@kept_while_it_lives
def _light_tables(run: StationRun) -> dict[str, Floats]:
    """Return what the panel offers when every day has so much of its sun, (steps, nodes) each.

    A day's light falls faster than its index where a panel looks into the sun: the beam goes first.
    """
    tables: dict[str, list[Floats]] = {name: [] for name in OF_LIGHT}
    given = run.trip.weather
    for sun in SUN_NODES.tolist():
        under = replace(given, index=tuple(each * sun for each in given.index))
        trip = replace(run.trip, weather=under)
        inputs = station_inputs(run.site, trip, run.plan, run.station, run.shared, COARSE_STEP_MIN)
        for name, columns in tables.items():
            columns.append(np.array(getattr(inputs.course, name), dtype=float))
    return {name: np.stack(columns, axis=1) for name, columns in tables.items()}


def _floor_ah(fleet: Fleet) -> Floats:
    floor = fleet.course["floor_ah"]
    wide = floor if floor.ndim == 2 else floor[:, None]
    return np.broadcast_to(wide, (fleet.steps, fleet.members))


class _Track:
    """Keeps the charge of every step and the currents of some."""

    def __init__(self, look_at: frozenset[int]) -> None:
        self._look_at = look_at
        self.stored: list[Floats] = []
        self.receives: list[Booleans] = []
        self.drawn_a: dict[int, Floats] = {}
        self.panel_a: dict[int, Floats] = {}

    def __call__(self, moment: FleetStep) -> None:
        self.stored.append(moment.stored_ah)
        self.receives.append(moment.receives.copy())
        if moment.step in self._look_at:
            drawn_a = moment.drawn_a
            self.drawn_a[moment.step] = drawn_a
            self.panel_a[moment.step] = np.maximum(drawn_a - moment.battery_a, 0.0)
