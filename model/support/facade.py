"""The front of a room: names that load their module when they are first asked for.

A room that offers twelve names must not load the libraries behind all of them for one (PEP 562).
"""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from typing import Any


def offers(
    room: str, **names_of_modules: str
) -> tuple[Callable[[str], Any], Callable[[], list[str]], list[str]]:
    """Return ``__getattr__``, ``__dir__`` and ``__all__`` of a room.

    Parameters
    ----------
    room : the package's ``__name__``.
    names_of_modules : for each module of the room the names it lends, parted by blanks. A name
        must differ from every module of the room: once loaded, the module would hide it.

    Raises
    ------
    AttributeError
        From the returned ``__getattr__``, for a name that the room does not offer.
    """
    module_of = {
        name: module for module, names in names_of_modules.items() for name in names.split()
    }

    def find(name: str) -> Any:
        if name not in module_of:
            raise AttributeError(f"{room} offers no {name!r}")
        return getattr(import_module(f"{room}.{module_of[name]}"), name)

    def names() -> list[str]:
        return sorted(module_of)

    return find, names, sorted(module_of)
