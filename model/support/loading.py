"""Loading libraries without walking what they hold."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def uncollected() -> Iterator[None]:
    """Put off collections of garbage while modules are loaded.

    What a module holds lives as long as the program; looking through it again and again takes a
    tenth of the time that loading takes.
    """
    was_enabled = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_enabled:
            gc.enable()
