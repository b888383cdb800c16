"""Many kits through all steps at once, see ``batch_walk``.

A batch keeps no trajectories: it notes what sweeps ask for, and shows each step to an observer.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from model.engine.batch_notes import Booleans, Notes, Outcomes
from model.engine.batch_walk import Walk
from model.engine.fleet import Each, Fleet
from model.station.chemistry import Floats
from model.support.progress import Search, finish


@dataclass(frozen=True, eq=False)
class FleetStep:
    """One step of all members, for an observer; arrays of shape (members,) to be read at once.

    Attributes
    ----------
    stored_ah : charge at the start of the step [Ah].
    bus_v, battery_a : means; current out of the battery [V], [A].
    on : whether the loads were on.
    load_a, load_w : constant current and constant power of the loads while on; one value or shape
        (members,) [A], [W].
    radio_off : whose radio could not receive; None stands for nobody's.
    """

    step: int
    stored_ah: Floats
    bus_v: Floats
    battery_a: Floats
    on: Booleans
    load_a: Each
    load_w: Each
    radio_off: Booleans | None

    @property
    def drawn_a(self) -> Floats:
        """Mean current of all loads, shape (members,). [A]"""
        drawn: Floats = self.on * (self.load_a + self.load_w / self.bus_v)
        return drawn

    @property
    def receives(self) -> Booleans:
        """Whose radio receives."""
        return self.on if self.radio_off is None else self.on & ~self.radio_off


Observer = Callable[[FleetStep], None]
# So many steps are carried between two reports.
STEPS_AT_ONCE = 24


def run_batch(fleet: Fleet, observer: Observer | None = None) -> Outcomes:
    """Carry every member through all steps; see ``search_batch``."""
    return finish(search_batch(fleet, observer))


def search_batch(fleet: Fleet, observer: Observer | None = None) -> Search[Outcomes]:
    """Carry every member through all steps.

    Parameters
    ----------
    observer : shown every step as it is done.
    """
    yield 0.0
    walk, notes = Walk(fleet), Notes(fleet)
    for first in range(0, fleet.steps, STEPS_AT_ONCE):
        yield first / fleet.steps
        # Numbers that are not looked at in the end may overflow; whoever asks on is not to know.
        with np.errstate(all="ignore"):
            for step in range(first, min(first + STEPS_AT_ONCE, fleet.steps)):
                began = walk.stored if observer is None else walk.stored.copy()
                walk.step(step, notes)
                if observer is not None:
                    observer(
                        FleetStep(
                            step, began, walk.bus_v, walk.current_a, walk.on_or_all(),
                            walk.load_a, walk.load_w, walk.radio_off,
                        )
                    )  # fmt: skip
    with np.errstate(all="ignore"):
        return notes.outcomes(walk.stored)
