"""What reports say of one station: each band and hour, each mode, at the powers it can give."""

from __future__ import annotations

from dataclasses import dataclass

from model.engine.comparison import Comparison
from model.reception.amplifier_price import AmplifierPrice, amplifier_price, kit_powers_w
from model.reception.cells import Cell, cells_of
from model.reception.reports import Reports
from model.reception.requests import Answer, readable
from model.reception.thresholds import MODES
from model.scenario.declare import minutes_of
from model.scenario.scenario import Scenario


@dataclass(frozen=True, eq=False)
class CellAnswers:
    """One band and hour: the reports, and an answer for each mode at each power."""

    cell: Cell
    answers: tuple[Answer, ...]


@dataclass(frozen=True, eq=False)
class StationAnswers:
    """What reports say of one station.

    Attributes
    ----------
    scenario, index : the station.
    powers_w : what it gives alone, and with its amplifier where it has one.
    price : what the amplifier costs; None where there is none or the station is not run.
    cells : bands and hours with enough reports, in their order.
    few : those with too few, the fullest first.
    other_modes : rows left out, by modes whose threshold is not known.
    repeats : rows left out, each the same as an earlier one in every cell.
    """

    scenario: Scenario
    index: int
    powers_w: tuple[float, ...]
    price: AmplifierPrice | None
    cells: tuple[CellAnswers, ...]
    few: tuple[Cell, ...]
    other_modes: tuple[tuple[str, int], ...]
    repeats: int = 0

    @property
    def first_row(self) -> int:
        """The band and hour to begin with: of a net in the plan, else the fullest; -1 if none."""
        hours = {
            minutes_of(edge) // 60 % 24
            for block in self.scenario.plan
            if block.sends and block.activity in ("voice", "morse")
            for edge in (block.start, block.end)
        }
        cells = [one.cell for one in self.cells]
        return max(
            range(len(cells)),
            key=lambda row: (cells[row].hour in hours, cells[row].reports),
            default=-1,
        )


def station_answers(reports: Reports, comparison: Comparison, index: int) -> StationAnswers:
    """Return what reports say of one station.

    Parameters
    ----------
    reports : of its own operator.
    comparison : of the scenario it stands in.
    index : the station, from 0.
    """
    scenario = comparison.scenario
    powers_w = kit_powers_w(scenario, index)
    found = cells_of(reports)
    enough = sorted(
        (cell for cell in found if cell.is_enough),
        key=lambda cell: (cell.band, cell.hour, cell.mode.key, cell.power_w),
    )
    return StationAnswers(
        scenario=scenario,
        index=index,
        powers_w=powers_w,
        price=amplifier_price(comparison, index),
        cells=tuple(
            CellAnswers(
                cell, tuple(readable(cell, mode, watts) for mode in MODES for watts in powers_w)
            )
            for cell in enough
        ),
        few=tuple(cell for cell in found if not cell.is_enough),
        other_modes=reports.other_modes,
        repeats=reports.repeats,
    )
