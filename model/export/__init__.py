"""What leaves the program: the kit page's numbers, JSON and tables."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from model.export.kit_page import Kit as Kit
    from model.export.kit_page import kit_of as kit_of
    from model.export.outcome_data import as_data as as_data
    from model.export.outcome_data import minutes_table as minutes_table
else:
    from model.support.facade import offers

    __getattr__, __dir__, __all__ = offers(
        __name__,
        kit_page="Kit kit_of",
        outcome_data="as_data minutes_table",
    )
