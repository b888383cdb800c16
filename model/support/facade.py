"""The front of a room: names that load their module when they are first asked for.

A room that offers twelve names must not load the libraries behind all of them for one (PEP 562).
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from importlib import import_module
from types import ModuleType
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


class _Called(ModuleType):
    """A room that is called as the one function it is named for."""

    called_module: str
    called_name: str

    def __call__(self, *given: Any, **named: Any) -> Any:
        return getattr(import_module(self.called_module), self.called_name)(*given, **named)


def called(room: str, module: str, name: str) -> None:
    """Let a room be called: ``verdict(comparison)`` in a notebook, where the name is the room's.

    Parameters
    ----------
    room : the package's ``__name__``.
    module, name : the function that answers, by the module of the room that holds it.
    """
    package = sys.modules[room]
    package.__class__ = _Called
    vars(package).update(called_module=f"{room}.{module}", called_name=name)
