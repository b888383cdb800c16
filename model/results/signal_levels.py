"""How well each station is heard in each block, and what the difference costs."""

from __future__ import annotations

from dataclasses import dataclass, replace

from model.engine.comparison import Comparison
from model.engine.run import StationRun
from model.results.budget import power_budget
from model.scenario.station import Station
from model.station.carried_mass import carried_total
from model.station.decibels import S_UNIT_DB, decibels
from model.station.rf_exposure import net_gain_dbi
from model.station.transmit_path import way_for
from model.support.figures import amount, number

# Steps this near a half or a whole S-unit are named so.
NAMED_DB = 0.25
# Less than this more, of charge or of mass, is said to be the same.
SAME_MORE = 0.05
SAME_DB = 0.05


@dataclass(frozen=True)
class Signal:
    """What one station puts on the air in one block.

    Attributes
    ----------
    rf_w : what it gives of the power asked for, 0 where it cannot send [W].
    antenna_w : left after tuner and feed line [W].
    eirp_w : radiated in the main direction [W].
    key_down_a : radio and amplifier together [A].
    per_watt_a : key-down current for each watt of RF [A].
    over_first_db : eirp over that of the first station, None where either sends nothing [dB].
    """

    rf_w: float
    antenna_w: float
    eirp_w: float
    key_down_a: float
    per_watt_a: float
    over_first_db: float | None

    @property
    def over_first_s_units(self) -> float | None:
        """The same in S-units of 6 dB: IARU Region 1, Recommendation R.1 [1]."""
        return None if self.over_first_db is None else self.over_first_db / S_UNIT_DB


@dataclass(frozen=True)
class BlockSignals:
    """All stations in one block of the plan."""

    block_index: int
    signals: tuple[Signal, ...]


def heard(comparison: Comparison) -> tuple[BlockSignals, ...]:
    """Return the signals of every block that sends, one for each station."""
    stations = comparison.scenario.stations
    return tuple(
        BlockSignals(index, _signals(stations, block.rf_w))
        for index, block in enumerate(comparison.scenario.plan)
        if block.sends
    )


def _signals(stations: tuple[Station, ...], asked_w: float) -> tuple[Signal, ...]:
    given = [_given(station, asked_w) for station in stations]
    first_w = given[0].eirp_w
    return tuple(
        replace(signal, over_first_db=decibels(signal.eirp_w, first_w))
        if signal.eirp_w > 0 and first_w > 0
        else signal
        for signal in given
    )


def _given(station: Station, asked_w: float) -> Signal:
    way, rf_w = way_for(station, asked_w)
    if rf_w <= 0:
        return Signal(0.0, 0.0, 0.0, 0.0, 0.0, None)
    antenna = station.antenna
    lost_db = (antenna.feed_loss_db if antenna else 0.0) + (
        station.tuner.loss_db if station.tuner else 0.0
    )
    key_down_a = way.current_a(rf_w)
    return Signal(
        rf_w=rf_w,
        antenna_w=rf_w / 10 ** (lost_db / 10),
        eirp_w=rf_w * 10 ** (net_gain_dbi(station) / 10),
        key_down_a=key_down_a,
        per_watt_a=key_down_a / rf_w,
        over_first_db=None,
    )


@dataclass(frozen=True)
class Price:
    """What one station's signal costs over another's.

    Attributes
    ----------
    stronger, weaker : places of the stations.
    louder_db : by how much the first is the stronger in the most demanding block [dB].
    night_ah : what it draws more in a night, on average; negative where less [Ah].
    more_kg : what it weighs more; negative where less [kg].
    is_weighed : a mass has been entered for everything that both carry.
    """

    stronger: int
    weaker: int
    louder_db: float
    night_ah: float
    more_kg: float
    is_weighed: bool = True

    @property
    def sentence(self) -> str:
        """The step in words, such as "3 dB, half an S-unit, stronger; 0.9 kg more"."""
        cost = self.cost()
        if abs(self.louder_db) < SAME_DB:
            return f"Same signal; {cost}."
        return f"{self.step}, stronger; {cost}."

    @property
    def step(self) -> str:
        """By how much the signal is stronger, in decibels and S-units."""
        return f"{amount(self.louder_db, 'dB', 2)}, {s_unit_words(self.louder_db)}"

    def cost(self, unit: str = "kg", units_per_kg: float = 1.0) -> str:
        """Return what the stronger signal takes more, its mass in the unit shown."""
        night = f"{_more(self.night_ah, 'Ah')} a night on average"
        more = self.more_kg * units_per_kg
        if self.is_weighed:
            return f"{night}, {_more(more, unit)}"
        if abs(more) < SAME_MORE:
            return f"{night}; not all has been weighed"
        return f"{night}, {_more(more, unit)} of what has been weighed"


def prices(comparison: Comparison) -> tuple[Price, ...]:
    """Return what each other station's signal costs against the first's, in the loudest block."""
    blocks = heard(comparison)
    first = comparison.runs[0]
    if not blocks or first is None:
        return ()
    found = []
    for other, run in enumerate(comparison.runs):
        if other == 0 or run is None:
            continue
        steps = [block.signals[other].over_first_db for block in blocks]
        known = [step for step in steps if step is not None]
        if known:
            found.append(_price(first, run, other, max(known, key=abs)))
    return tuple(found)


def _price(first: StationRun, run: StationRun, other: int, over_first_db: float) -> Price:
    night_ah = power_budget(run).night_ah - power_budget(first).night_ah
    own, of_first = (carried_total(each.station, each.shared) for each in (run, first))
    is_weighed = own.unweighed == of_first.unweighed == 0
    more_kg = own.mass_kg - of_first.mass_kg
    if over_first_db >= 0:
        return Price(other, 0, over_first_db, night_ah, more_kg, is_weighed)
    return Price(0, other, -over_first_db, -night_ah, -more_kg, is_weighed)


def s_unit_words(step_db: float) -> str:
    """Return decibels as S-units in words: half, one and a half, or with one decimal."""
    units = step_db / S_UNIT_DB
    if abs(units - 0.5) <= NAMED_DB / S_UNIT_DB:
        return "half an S-unit"
    if abs(units - 1.0) <= NAMED_DB / S_UNIT_DB:
        return "one S-unit"
    return f"{number(units, 2)}\N{NO-BREAK SPACE}S-units"


def _more(extra: float, unit: str) -> str:
    if abs(extra) < SAME_MORE:
        return f"the same {unit}"
    return f"{amount(abs(extra), unit, 2)} {'more' if extra > 0 else 'less'}"
