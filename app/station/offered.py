"""The parts that a station can be given."""

from __future__ import annotations

from dataclasses import dataclass

from model.library.catalogue import Library


@dataclass
class Offered:
    """Holds the library as it is now, for all who offer parts of it."""

    library: Library
