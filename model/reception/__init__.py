"""What one's own reception reports say of power and mode: shares of the paths that were heard."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from model.reception.cells import cells_of as cells_of
    from model.reception.requests import readable as readable
    from model.reception.table_reading import read_reports as read_reports
    from model.reception.thresholds import MODES as MODES
else:
    from model.support.facade import offers

    __getattr__, __dir__, __all__ = offers(
        __name__,
        cells="cells_of",
        requests="readable",
        table_reading="read_reports",
        thresholds="MODES",
    )
