"""What one run says: budget, voltage drop, signal levels, expected readings, provenance."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from model.results.budget import power_budget as power_budget
    from model.results.provenance import bases as bases
    from model.results.provenance import guess_share as guess_share
    from model.results.signal_levels import heard as heard
    from model.results.voltage_drop import Chain as Chain
    from model.results.voltage_drop import chain_at as chain_at
    from model.results.wording import moment as moment
else:
    from model.support.facade import offers

    __getattr__, __dir__, __all__ = offers(
        __name__,
        budget="power_budget",
        provenance="guess_share bases",
        voltage_drop="Chain chain_at",
        signal_levels="heard",
        wording="moment",
    )
