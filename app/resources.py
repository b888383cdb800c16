"""Where the data that ships with the program lies."""

from __future__ import annotations

from pathlib import Path

_APP = Path(__file__).resolve().parent
# A checkout keeps assets and scenarios beside app; an installed package carries them inside it,
# where "beside" would be the folder of every other package.
_BUNDLED = _APP / "_bundled"
_ROOT = _BUNDLED if _BUNDLED.is_dir() else _APP.parent


def resource(name: str) -> Path:
    """Return the file or folder called ``name``, such as ``"scenarios"`` or ``"assets/icons"``.

    Raises ValueError when the name leads anywhere but into assets or scenarios, and
    FileNotFoundError, naming it, when there is no such file.
    """
    parts = Path(name).parts
    if not parts or parts[0] not in ("assets", "scenarios") or ".." in parts:
        raise ValueError(f"a resource lies in assets or scenarios, not at {name!r}")
    found = _ROOT.joinpath(*parts)
    if not found.exists():
        raise FileNotFoundError(f"{name} is missing from this copy of the program")
    return found
