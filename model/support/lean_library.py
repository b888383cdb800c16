"""Lets a large library be loaded without those of its parts that nothing here uses.

pvlib loads all of itself at once; its spectral models, weather services and module fits bring in
more libraries, a tenth of the time until the first window. A part named here is loaded when
something first asks it for a name, as the lazy loader of the standard library does it.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from importlib.machinery import ModuleSpec, PathFinder
from importlib.util import LazyLoader
from types import ModuleType


class _Later:
    """A finder that finds some modules, and has them loaded when they are first used."""

    def __init__(self, names: frozenset[str]) -> None:
        self._names = names

    def find_spec(
        self, name: str, path: Sequence[str] | None, target: ModuleType | None = None
    ) -> ModuleSpec | None:
        if name not in self._names:
            return None
        spec = PathFinder.find_spec(name, path, target)
        if spec is not None and spec.loader is not None:
            spec.loader = LazyLoader(spec.loader)
        return spec


@contextmanager
def loaded_later(*names: str) -> Iterator[None]:
    """Have these modules loaded at first use where they are imported in here."""
    finder = _Later(frozenset(names))
    sys.meta_path.insert(0, finder)
    try:
        yield
    finally:
        sys.meta_path.remove(finder)
