"""``counterpoise verify``: which file, and which of its variants, a printed page came from."""

from __future__ import annotations

from collections.abc import Sequence

from app.cli.inputs import read, tell_faults
from app.cli.outputs import tell, write_text
from model.editing.faults import ScenarioError
from model.export.fingerprint import MarkError, found_in, read_mark


def verify(mark: str, files: Sequence[str]) -> int:
    """Say which of the files gives a page of this mark.

    Returns
    -------
    The exit code: 0 where one does, 1 where none does or nobody can tell, 2 for a fault.
    """
    try:
        wanted = read_mark(mark)
    except MarkError as error:
        tell(str(error))
        return 2
    if wanted.is_foreign:
        write_text(f"{mark}: {wanted.why}\n", "-")
        return 1
    lines, is_found = [], False
    try:
        for file in files:
            found = found_in(read(file), wanted)
            is_found = is_found or bool(found)
            lines += [f"{file}: {words}" for words in found or ("another input",)]
    except ScenarioError as error:
        return tell_faults(error)
    write_text("\n".join(lines) + "\n", "-")
    return 0 if is_found else 1
