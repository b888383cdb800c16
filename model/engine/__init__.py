"""The run: inputs, the step rule and its array form, flows, clocks, ledger, comparison."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from model.engine.batch import run_batch as run_batch
    from model.engine.comparison import Comparison as Comparison
    from model.engine.comparison import simulate as simulate
    from model.engine.comparison import why_withheld as why_withheld
    from model.engine.fleet import Fleet as Fleet
    from model.engine.fleet import fleet_of as fleet_of
    from model.engine.inputs import station_inputs as station_inputs
    from model.engine.outcome import USES as USES
    from model.engine.outcome import Clock as Clock
    from model.engine.run import StationRun as StationRun
    from model.engine.run import run_station as run_station
else:
    from model.support.facade import offers

    __getattr__, __dir__, __all__ = offers(
        __name__,
        comparison="Comparison simulate why_withheld",
        run="StationRun run_station",
        inputs="station_inputs",
        outcome="Clock USES",
        fleet="Fleet fleet_of",
        batch="run_batch",
    )
