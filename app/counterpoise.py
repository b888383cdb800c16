"""The model by the program's name: ``import counterpoise`` where the wheel is installed."""

from __future__ import annotations

import model


def __getattr__(name: str) -> object:
    return getattr(model, name)


def __dir__() -> list[str]:
    return dir(model)
