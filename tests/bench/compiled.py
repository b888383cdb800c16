"""Where measured starts keep their compiled modules, as an installed program does.

An environment may forbid to write them beside the sources: then each start would compile all of
the program anew, and none of its libraries.
"""

from __future__ import annotations

import os
from pathlib import Path


def compiling_into(folder: Path) -> dict[str, str]:
    """Return the environment of a process that keeps compiled modules in a folder.

    The first start fills it and is not to be counted.

    Parameters
    ----------
    folder : of the measurement alone.
    """
    kept = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
    return kept | {"PYTHONPYCACHEPREFIX": str(folder)}
