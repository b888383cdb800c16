"""What every room may lean on: bounded caches, searches that report progress, lean libraries."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from model.support.cache import kept_while_it_lives as kept_while_it_lives
    from model.support.cache import kept_within as kept_within
    from model.support.cache import read_only as read_only
    from model.support.progress import Between as Between
    from model.support.progress import on_and_on as on_and_on
    from model.support.progress import part_of as part_of
    from model.support.search import Search as Search
    from model.support.search import finish as finish
    from model.support.search import within as within
else:
    from model.support.facade import offers

    __getattr__, __dir__, __all__ = offers(
        __name__,
        cache="kept_within kept_while_it_lives read_only",
        search="Search finish within",
        progress="Between on_and_on part_of",
    )
