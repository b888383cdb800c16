"""Runs that are remembered: as many as a bound on their steps allows, and all that are in use."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable
from functools import update_wrapper
from typing import Any, Generic, ParamSpec, Protocol, TypeVar
from weakref import WeakValueDictionary

from model.sky.timeline import Timeline


class HasClock(Protocol):
    """A run: how much memory it takes grows with its steps."""

    @property
    def clock(self) -> Timeline:
        """The steps it took."""


class _Key:
    """What a run was made from; its hash, which takes longest, is worked out once."""

    __slots__ = ("_hash", "_values")

    def __init__(self, *values: Any) -> None:
        self._values = values
        self._hash = hash(values)

    def __hash__(self) -> int:
        return self._hash

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Key) and self._values == other._values


Given = ParamSpec("Given")
Run = TypeVar("Run", bound=HasClock)


class KeptRuns(Generic[Given, Run]):
    """A pure function of hashable values that remembers its latest runs.

    Runs that something else holds, such as the comparison on the screen, are found again however
    many trials came since. The bound counts steps, not runs: two weeks take seven times the memory
    of two days.
    """

    def __init__(self, function: Callable[Given, Run], limit_steps: int) -> None:
        update_wrapper(self, function)
        self.__wrapped__ = function
        self._limit_steps = limit_steps
        self._lock = threading.Lock()
        self.cache_clear()

    def __call__(self, *args: Given.args, **named: Given.kwargs) -> Run:
        """Return the run of these values, from memory if it is there."""
        key = _Key(args, tuple(sorted(named.items())))
        with self._lock:
            run = self._in_use.get(key)
            if run is not None:
                self._remember(key, run)
                return run
        run = self.__wrapped__(*args, **named)
        with self._lock:
            self._in_use[key] = run
            self._remember(key, run)
        return run

    def cache_clear(self) -> None:
        """Forget every run."""
        with self._lock:
            self._in_use: WeakValueDictionary[_Key, Run] = WeakValueDictionary()
            self._latest: OrderedDict[_Key, Run] = OrderedDict()
            self._steps = 0

    @property
    def kept_steps(self) -> int:
        """How many steps the remembered runs have together."""
        return self._steps

    def _remember(self, key: _Key, run: Run) -> None:
        before = self._latest.pop(key, None)
        self._steps += run.clock.steps - (before.clock.steps if before is not None else 0)
        self._latest[key] = run
        while self._steps > self._limit_steps and len(self._latest) > 1:
            _, dropped = self._latest.popitem(last=False)
            self._steps -= dropped.clock.steps
