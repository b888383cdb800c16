"""A save that fails, however it fails, leaves the old file."""

from __future__ import annotations

import errno
import os
import resource
import signal
import stat
from datetime import date
from pathlib import Path

import pytest

from model.editing.paths import with_value
from model.files.atomic_write import LEFTOVER_AFTER_S
from model.files.scenario_file import SaveError, read_scenario, write_scenario
from model.scenario.scenario import Scenario

SMALL = Scenario.model_validate(
    {
        "title": "Ridge",
        "site": {"latitude_deg": 46.5, "longitude_deg": 12},
        "day": {"date": date(2027, 6, 21)},
        "stations": [
            {"radio": {"receive_a": 0.16}, "battery": {"chemistry": "LFP", "capacity_ah": 20}}
        ],
    }
)
OTHER = with_value(SMALL, "title", "Valley")


@pytest.fixture
def saved(tmp_path) -> Path:
    path = tmp_path / "kit.toml"
    write_scenario(SMALL, path)
    return path


def refuses_to_save(path: Path) -> str:
    """Save another scenario, require that it fails and that nothing else has changed."""
    before = {entry.name for entry in path.parent.iterdir()}
    with pytest.raises(SaveError) as caught:
        write_scenario(OTHER, path)
    assert {entry.name for entry in path.parent.iterdir()} == before
    return str(caught.value)


def failing(number: int):
    def fail(*_args, **_kwargs):
        raise OSError(number, os.strerror(number))

    return fail


def test_a_save_replaces_the_file_and_leaves_nothing_beside(saved):
    write_scenario(OTHER, saved)
    assert read_scenario(saved) == OTHER
    assert [entry.name for entry in saved.parent.iterdir()] == ["kit.toml"]


@pytest.mark.parametrize(
    ("name", "number", "reason"),
    [
        ("replace", errno.EACCES, "permission is refused"),
        ("fsync", errno.EIO, os.strerror(errno.EIO)),
        ("fsync", errno.ENOSPC, "the disk is full"),
    ],
)
def test_a_failed_step_keeps_the_old_file(saved, monkeypatch, name, number, reason):
    monkeypatch.setattr(os, name, failing(number))
    assert refuses_to_save(saved) == f"kit.toml: {reason}"
    assert read_scenario(saved) == SMALL


def test_a_full_disk_keeps_the_old_file(saved):
    """A limit on the size of files makes the system itself refuse the write half-way."""
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    handler = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (100, before[1]))
    try:
        reason = refuses_to_save(saved)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
        signal.signal(signal.SIGXFSZ, handler)
    assert reason == f"kit.toml: {os.strerror(errno.EFBIG)}"
    assert read_scenario(saved) == SMALL


def test_a_folder_that_may_not_be_written_to_keeps_the_old_file(saved, monkeypatch):
    opened = Path.open

    def refuse_new(path, mode="r", *rest, **more):
        if "x" in mode:
            failing(errno.EACCES)()
        return opened(path, mode, *rest, **more)

    monkeypatch.setattr(Path, "open", refuse_new)
    assert refuses_to_save(saved) == "kit.toml: permission is refused"
    assert read_scenario(saved) == SMALL


def test_a_disk_that_gives_back_something_else_keeps_the_old_file(saved, monkeypatch):
    read = Path.read_bytes
    monkeypatch.setattr(Path, "read_bytes", lambda path: read(path)[:-1] + b"?")
    reason = refuses_to_save(saved)
    monkeypatch.undo()
    assert reason == "kit.toml: the disk gave back something else than was written"
    assert read_scenario(saved) == SMALL


def test_an_interrupted_save_leaves_nothing_beside(saved, monkeypatch):
    def interrupt(_descriptor):
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", interrupt)
    with pytest.raises(KeyboardInterrupt):
        write_scenario(OTHER, saved)
    assert [entry.name for entry in saved.parent.iterdir()] == ["kit.toml"]
    assert read_scenario(saved) == SMALL


def test_a_read_only_file_is_kept(saved):
    saved.chmod(0o444)
    assert refuses_to_save(saved) == "kit.toml: is read-only"
    assert read_scenario(saved) == SMALL


def test_permissions_are_kept_and_a_new_file_has_the_usual_ones(saved):
    usual = os.umask(0o027)
    try:
        write_scenario(SMALL, saved.with_name("new.toml"))
    finally:
        os.umask(usual)
    assert stat.S_IMODE(saved.with_name("new.toml").stat().st_mode) == 0o640
    saved.chmod(0o604)
    write_scenario(OTHER, saved)
    assert stat.S_IMODE(saved.stat().st_mode) == 0o604


def test_a_link_goes_on_leading_to_the_file(saved):
    link = saved.with_name("link.toml")
    link.symlink_to(saved)
    write_scenario(OTHER, link)
    assert link.is_symlink()
    assert read_scenario(saved) == OTHER


def test_places_that_are_no_file_are_refused(tmp_path):
    with pytest.raises(SaveError, match=r"^kit.toml: there is no such file or folder$"):
        write_scenario(SMALL, tmp_path / "none" / "kit.toml")
    with pytest.raises(SaveError, match=r"is not a file$"):
        write_scenario(SMALL, tmp_path)
    with pytest.raises(SaveError, match=r"is no file name$"):
        write_scenario(SMALL, "a\0b")
    assert list(tmp_path.iterdir()) == []


def test_a_scenario_too_large_to_be_read_back_is_not_saved(saved):
    source = {"from": "measured", "note": "日" * 400}
    extra = {"sources": dict.fromkeys(("mass_kg", "power_w", "current_a", "cost"), source)}
    large = with_value(
        SMALL,
        "stations",
        [{**SMALL.stations[0].model_dump(by_alias=True), "extras": [extra] * 100}] * 4,
    )
    with pytest.raises(SaveError, match=r"the file would hold 2\.0 MB"):
        write_scenario(large, saved)
    assert read_scenario(saved) == SMALL


def test_a_save_survives_a_name_as_long_as_the_system_allows(tmp_path):
    path = tmp_path / ("n" * 250 + ".toml")
    write_scenario(SMALL, path)
    assert read_scenario(path) == SMALL


def leftover(folder: Path, name: str, age_s: float) -> Path:
    path = folder / name
    path.write_bytes(b"half a fi")
    os.utime(path, (path.stat().st_atime, path.stat().st_mtime - age_s))
    return path


def test_what_a_killed_save_left_is_taken_away_by_the_next_one(saved):
    old = leftover(saved.parent, ".counterpoise-0123456789ab.part", LEFTOVER_AFTER_S + 60)
    at_work = leftover(saved.parent, ".counterpoise-ba9876543210.part", 5)
    others = [
        leftover(saved.parent, name, LEFTOVER_AFTER_S + 60)
        for name in ("x.part", ".counterpoise-notes.part", ".counterpoise-0123456789ab.part.toml")
    ]
    write_scenario(OTHER, saved)
    assert not old.exists()
    assert at_work.exists()
    assert all(other.exists() for other in others)


def test_a_folder_that_cannot_be_flushed_does_not_make_a_good_save_a_failed_one(saved, monkeypatch):
    flush = os.fsync

    def refuse_folders(descriptor):
        if stat.S_ISDIR(os.fstat(descriptor).st_mode):
            raise OSError(errno.EINVAL, os.strerror(errno.EINVAL))
        flush(descriptor)

    monkeypatch.setattr(os, "fsync", refuse_folders)
    write_scenario(OTHER, saved)
    assert read_scenario(saved) == OTHER
