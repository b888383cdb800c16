"""Values that are remembered within bounds: of their memory, or of the life of what they are of."""

from __future__ import annotations

import threading
from collections.abc import Callable
from functools import _lru_cache_wrapper, cache, wraps
from typing import Any, Concatenate, ParamSpec, TypeVar
from weakref import WeakKeyDictionary

import numpy as np
from numpy.typing import NDArray

Of = TypeVar("Of")
Rest = ParamSpec("Rest")
Value = TypeVar("Value")

# An entry's own room: most of what a value was made from is shared with other entries.
ENTRY_BYTES = 2000
# A number, a pair or a block among the values something was made from.
ITEM_BYTES = 200


def kept_within(
    limit_bytes: int,
) -> Callable[[Callable[..., Value]], _lru_cache_wrapper[Value]]:
    """Remember what a pure function gives until all of it takes more memory than this.

    Then it is forgotten together and filled anew, so that what is found again, which happens far
    more often, costs no bookkeeping. Two weeks take seven times the memory of two days: a bound
    on the number of values would bound nothing.
    """

    def keep(function: Callable[..., Value]) -> _lru_cache_wrapper[Value]:
        lock = threading.Lock()
        kept_bytes = 0

        @cache
        @wraps(function)
        def remembered(*given: Any, **named: Any) -> Value:
            nonlocal kept_bytes
            value = function(*given, **named)
            added = ENTRY_BYTES + sum(map(_key_bytes, given)) + bytes_of(value)
            with lock:
                if remembered.cache_info().currsize == 0 or kept_bytes + added > limit_bytes:
                    remembered.cache_clear()
                    kept_bytes = 0
                kept_bytes += added
            return value

        return remembered

    return keep


def read_only(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the same array, which cannot be written to any more: what is kept has many readers."""
    values.flags.writeable = False
    return values


def bytes_of(value: object) -> int:
    """Return about how much memory a value of arrays takes."""
    if isinstance(value, np.ndarray):
        return int(value.nbytes)
    if isinstance(value, tuple):
        return ITEM_BYTES + sum(map(bytes_of, value))
    if isinstance(value, dict):
        return ITEM_BYTES + sum(map(bytes_of, value.values()))
    return ITEM_BYTES + sum(map(bytes_of, getattr(value, "__dict__", {}).values()))


def _key_bytes(given: object) -> int:
    return len(given) * ITEM_BYTES if isinstance(given, tuple) else 0


def kept_while_it_lives(
    function: Callable[Concatenate[Of, Rest], Value],
) -> Callable[Concatenate[Of, Rest], Value]:
    """Remember what a function gives for as long as its first value, which it must not return."""
    kept: WeakKeyDictionary[Any, dict[Any, Value]] = WeakKeyDictionary()

    @wraps(function)
    def remembered(of: Of, /, *rest: Rest.args, **named: Rest.kwargs) -> Value:
        values = kept.setdefault(of, {})
        key = (rest, tuple(sorted(named.items())))
        if key not in values:
            values[key] = function(of, *rest, **named)
        return values[key]

    return remembered
