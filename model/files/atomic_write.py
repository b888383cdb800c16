"""Saving that cannot lose the old file: beside it, flushed, read back, then put in its place."""

from __future__ import annotations

import errno
import os
import re
import secrets
import stat
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

# A save that was killed leaves one of these; a save that goes on has a younger one.
_PART = re.compile(r"\.counterpoise-[0-9a-f]{12}\.part")
LEFTOVER_AFTER_S = 600.0


class SaveError(Exception):
    """A file that could not be saved; what stood there before is untouched."""


def write_data(
    data: bytes, path: str | os.PathLike[str], is_wanted: Callable[[], bool] = lambda: True
) -> None:
    """Save bytes so that at every moment the old or the new file stands there whole.

    Parameters
    ----------
    is_wanted : asked last of all: a disk may answer so late that something newer stands there.

    Raises
    ------
    SaveError
        When they cannot be saved; says why in one line, and the old file is untouched.
    """
    try:
        # A link goes on leading where it led: what it leads to is replaced.
        target = Path(os.path.realpath(path))
        _replace(target, data, is_wanted)
    except (OSError, ValueError) as error:
        raise SaveError(f"{shown_name(path)}: {reason_of(error)}") from error
    _clean(target.parent)


def _replace(target: Path, data: bytes, is_wanted: Callable[[], bool]) -> None:
    if target.is_symlink():
        # What is still a link by now leads back to itself.
        raise OSError(errno.ELOOP, os.strerror(errno.ELOOP))
    mode = _mode_to_keep(target)
    beside = target.with_name(f".counterpoise-{secrets.token_hex(6)}.part")
    try:
        with beside.open("xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        _compare(beside, data)
        if mode is not None:
            beside.chmod(mode)
        _refuse_if_late(is_wanted)
        beside.replace(target)
    except BaseException:
        beside.unlink(missing_ok=True)
        raise
    _settle(target.parent)


def _refuse_if_late(is_wanted: Callable[[], bool]) -> None:
    if not is_wanted():
        raise OSError(errno.ETIMEDOUT, "came too late")


def _compare(path: Path, data: bytes) -> None:
    if path.read_bytes() != data:
        raise OSError(errno.EIO, "the disk gave back something else than was written")


def _mode_to_keep(target: Path) -> int | None:
    """Return the permissions of the file that is replaced; refuse what must not be replaced."""
    if not target.exists():
        return None
    mode = target.stat().st_mode
    if not stat.S_ISREG(mode):
        raise OSError(errno.EINVAL, "is not a file")
    if not mode & stat.S_IWUSR or not os.access(target, os.W_OK):
        raise OSError(errno.EPERM, "is read-only")
    return stat.S_IMODE(mode)


def _settle(folder: Path) -> None:
    """Make the new name outlast a power cut, on systems where a folder can be flushed."""
    if os.name != "posix":
        return
    # Some systems flush no folder; the file itself is safe, and to call the save failed would be
    # wrong: the new one stands there.
    with suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


def _clean(folder: Path) -> None:
    """Take away what saves that were killed have left; it is no fault where that fails."""
    with suppress(OSError), os.scandir(folder) as entries:
        for entry in entries:
            if _PART.fullmatch(entry.name) and _is_left_over(entry):
                Path(entry.path).unlink()


def _is_left_over(entry: os.DirEntry[str]) -> bool:
    age_s = time.time() - entry.stat(follow_symlinks=False).st_mtime
    return entry.is_file(follow_symlinks=False) and age_s > LEFTOVER_AFTER_S


def shown_name(path: str | os.PathLike[str]) -> str:
    """Return a file's name as a sentence shows it, on one line."""
    return "".join(mark if mark.isprintable() else "?" for mark in Path(path).name) or str(path)


_REASONS = {
    errno.ENOENT: "there is no such file or folder",
    errno.ENOTDIR: "there is no such folder",
    errno.EISDIR: "is a folder",
    errno.EACCES: "permission is refused",
    errno.EROFS: "the disk is read-only",
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "your share of the disk is full",
    errno.ENAMETOOLONG: "the name is too long",
    errno.ELOOP: "the link leads in a circle",
}


def reason_of(error: OSError | ValueError) -> str:
    """Return in a few words why the system refused a file."""
    if isinstance(error, ValueError):
        return "is no file name"
    return _REASONS.get(error.errno or 0, error.strerror or "the system gives no reason")
