"""The user's parts, and the sizes that can be bought."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from model.library.catalogue import Library as Library
    from model.library.catalogue import LibraryError as LibraryError
    from model.library.catalogue import kind_of as kind_of
    from model.library.new_station import new_part as new_part
    from model.library.parts_csv import dump_csv as dump_csv
    from model.library.parts_csv import read_csv as read_csv
    from model.library.store import dump_parts as dump_parts
    from model.library.store import parse_parts as parse_parts
else:
    from model.support.facade import offers

    __getattr__, __dir__, __all__ = offers(
        __name__,
        catalogue="Library LibraryError kind_of",
        new_station="new_part",
        store="parse_parts dump_parts",
        parts_csv="read_csv dump_csv",
    )
