"""What every room may lean on: bounded caches, progress of searches, numbers as text, libraries."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from model.support.cache import kept_while_it_lives as kept_while_it_lives
    from model.support.cache import kept_within as kept_within
    from model.support.cache import read_only as read_only
    from model.support.progress import Search as Search
    from model.support.progress import at_once as at_once
    from model.support.progress import finish as finish
    from model.support.progress import within as within
else:
    from model.support.facade import offers

    __getattr__, __dir__, __all__ = offers(
        __name__,
        cache="kept_within kept_while_it_lives read_only",
        progress="Search at_once finish within",
    )
