"""Which numbers share one error: one meter, one habit, one label is wrong by the same everywhere.

Numbers of the same field with the same source and the same spread have one relative error in all
stations, and so has the same part, whose fields, sources and spreads are the same. So has the sun.
"""

from __future__ import annotations

from model.engine.run import StationRun
from model.results.provenance import bases, number_spread
from model.scenario.declare import Provenance

# Field from its slot on, source, half-width of the 95 % band over the number.
ErrorKey = tuple[str, Provenance | None, float]
SUN: ErrorKey = ("sun", None, 0.0)


def error_key(path: str, origin: Provenance | None, spread: float) -> ErrorKey:
    """Return what names the error of a number: equal keys are one error.

    Parameters
    ----------
    path : from the station on; places in a list do not tell numbers apart.
    """
    slot = path.split(".")[0].replace("shared", "extras")
    return f"{slot}.{path.split('.')[-1]}", origin, spread


def load_errors(run: StationRun) -> dict[ErrorKey, float]:
    """Return what each error adds to the relative error of the hours a charge lasts [1].

    To first order; more load makes them fewer, more capacity makes them more.
    """
    rows = bases(run)
    total_ah = sum(row.ah for row in rows)
    found: dict[ErrorKey, float] = {}
    if total_ah <= 0:
        return found
    for row in rows:
        for path in row.paths:
            spread = number_spread(run, path)
            key = error_key(path, row.origin, spread)
            found[key] = found.get(key, 0.0) - row.ah / total_ah * spread
    battery = run.station.battery
    spread = number_spread(run, "battery.tested_fraction")
    origin = battery.source_of("tested_fraction").origin
    found[error_key("battery.tested_fraction", origin, spread)] = spread
    return found
