"""What a run rests on: which Ah were set by which numbers, and how many of those are guesses."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from model.editing.field_facts import field_at
from model.engine.outcome import USES, Use
from model.engine.run import StationRun
from model.scenario.declare import Provenance
from model.scenario.kinds import KINDS, kind_of
from model.scenario.station import Part
from model.station.chemistry import Floats
from model.station.part_loads import LOADS, drawn_by_number, hour_of
from model.support.cache import kept_while_it_lives


@dataclass(frozen=True)
class Basis:
    """Ah of one use that one or two numbers set.

    Attributes
    ----------
    use : what they were drawn for.
    paths : the numbers, from the station on, such as ``radio.receive_a``.
    origin : the least trustworthy of their sources.
    ah : how much of the run's load [Ah].
    """

    use: Use
    paths: tuple[str, ...]
    origin: Provenance
    ah: float


def guess_share(run: StationRun) -> float:
    """Return the share of a run's load Ah that rests on guesses; 0 where nothing is drawn [1]."""
    rows = bases(run)
    total_ah = sum(row.ah for row in rows)
    guessed_ah = sum(row.ah for row in rows if row.origin == "guess")
    return guessed_ah / total_ah if total_ah > 0 else 0.0


def guessed_ah(run: StationRun) -> dict[Use, float]:
    """Return the Ah of each use that rest on guesses [Ah]."""
    rows = bases(run)
    return {
        use: sum(row.ah for row in rows if row.use == use and row.origin == "guess") for use in USES
    }


@kept_while_it_lives
def bases(run: StationRun) -> tuple[Basis, ...]:
    """Return what set every Ah of a run, the greatest first; they sum to its load.

    Notes
    -----
    Where two numbers multiply, such as the computer's power and its converter's efficiency, one
    guess makes the product a guess.
    """
    rows = [
        *_of_radio(run),
        *_of_amplifier(run),
        *_of_tuner(run),
        *_of_laptop(run),
        *_of_others(run),
    ]
    return tuple(sorted((row for row in rows if row.ah > 1e-9), key=lambda row: -row.ah))


# Measured once with a cheap meter, or read from a sheet, a number is known better than guessed.
_WORTH: dict[Provenance, float] = {"measured": 0.25, "datasheet": 0.6, "guess": 1.0}


def number_spread(run: StationRun, path: str) -> float:
    """Return the half-width of the 95 % band of one number, over the number [1].

    As its source states; else what is usual for its field, less where it is no guess.
    """
    slot, *place, field = path.split(".")
    if slot == "shared":
        return field_at(f"stations.0.extras.0.{field}").spread or 0.0
    held = getattr(run.station, slot)
    return part_spread(held[int(place[0])] if place else held, field, path)


def part_spread(part: Part, field: str, path: str) -> float:
    """Return the half-width of the 95 % band of one number of a part, over the number [1].

    Parameters
    ----------
    path : of the number, from the station on.
    """
    source = part.source_of(field)
    if source.spread is not None:
        return float(source.spread)
    return usual_spread(path, source.origin)


def usual_spread(path: str, origin: Provenance) -> float:
    """Return the half-width of the 95 % band that is usual for a field of such an origin [1].

    Parameters
    ----------
    path : of the number, from the station on.
    """
    usual = field_at(f"stations.0.{path}").spread or 0.0
    return float(usual * _WORTH[origin])


def _ah(run: StationRun, current_a: Floats) -> float:
    return float(current_a.sum()) * run.clock.step_h


def _basis(use: Use, where: str, part: Part, fields: tuple[str, ...], ah: float) -> Basis:
    origins = {part.source_of(field).origin for field in fields}
    worst: Provenance = (
        "guess" if "guess" in origins else "datasheet" if "datasheet" in origins else "measured"
    )
    return Basis(use, tuple(f"{where}.{field}" for field in fields), worst, ah)


def _radio_sends_a(run: StationRun) -> Floats:
    """Return what sending adds in the radio alone, shape (steps,). [A]"""
    use_a = run.flow.use_a
    return np.maximum(run.flow.radio_a - use_a["receive"] - use_a["off"], 0.0)


def _of_radio(run: StationRun) -> Iterator[Basis]:
    radio, use_a = run.station.radio, run.flow.use_a
    sends_a = np.minimum(_radio_sends_a(run), use_a["transmit"])
    yield _basis("receive", "radio", radio, ("receive_a",), _ah(run, use_a["receive"]))
    yield _basis("off", "radio", radio, ("off_a",), _ah(run, use_a["off"]))
    yield _basis("transmit", "radio", radio, ("key_down",), _ah(run, sends_a))


def _of_amplifier(run: StationRun) -> Iterator[Basis]:
    amplifier = run.station.amplifier
    if amplifier is None:
        return
    use_a, loads = run.flow.use_a, run.inputs.loads
    sends_a = np.maximum(use_a["transmit"] - _radio_sends_a(run), 0.0)
    yield _basis("transmit", "amplifier", amplifier, ("key_down",), _ah(run, sends_a))
    amplified = np.array(
        [how.way is not None and how.way.amplified for how in loads.sendings] + [False]
    )
    in_session = amplified[loads.send_row]
    for state, steps in (
        (amplifier.in_session, in_session),
        (amplifier.out_of_session, ~in_session),
    ):
        if state != "off":
            idle_ah = _ah(run, use_a["amplifier_idle"] * steps)
            yield _basis("amplifier_idle", "amplifier", amplifier, (f"{state}_a",), idle_ah)


def _of_tuner(run: StationRun) -> Iterator[Basis]:
    tuner = run.station.tuner
    if tuner is None:
        return
    drawn_a = run.flow.use_a["tuner"]
    idle_a = np.minimum(drawn_a, tuner.idle_a)
    yield _basis("tuner", "tuner", tuner, ("idle_a",), _ah(run, idle_a))
    tuning_ah = _ah(run, drawn_a - idle_a)
    yield _basis("tuner", "tuner", tuner, ("tuning_a", "tuning_s"), tuning_ah)


def _of_laptop(run: StationRun) -> Iterator[Basis]:
    laptop = run.station.laptop
    if laptop is None:
        return
    idle_a = run.inputs.loads.drawn["laptop"].current_a * run.flow.loads_on
    busy_a = np.maximum(run.flow.use_a["laptop"] - idle_a, 0.0)
    asleep = run.inputs.loads.laptop_w <= laptop.sleep_w
    if laptop.runs == "always":
        asleep[:] = False
    yield _basis("laptop", "laptop", laptop, ("converter_idle_a",), _ah(run, idle_a))
    for field, steps in (("power_w", ~asleep), ("sleep_w", asleep)):
        fed_ah = _ah(run, busy_a * steps)
        yield _basis("laptop", "laptop", laptop, (field, "converter_efficiency"), fed_ah)


def _of_others(run: StationRun) -> Iterator[Basis]:
    """Yield what each number of every other kind of load sets by itself."""
    hour = hour_of(run.site, run.trip, run.clock.step_min)
    held = [
        *(each for kind in KINDS for each in kind.held_by(run.station)),
        *(("shared", extra) for extra in run.shared),
    ]
    for path, part in held:
        kind = kind_of(part)
        if kind.key in LOADS and kind.key not in ("tuner", "laptop"):
            for number, drawn in drawn_by_number(part, hour):
                current_a = (drawn.current_a + drawn.power_w / run.flow.bus_v) * run.flow.loads_on
                yield _basis(kind.uses[0].key, path, part, (number,), _ah(run, current_a))
