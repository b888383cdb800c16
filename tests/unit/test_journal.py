"""The journal: what was appended is there; what was torn is dropped, and said."""

from __future__ import annotations

import errno
import json
import os
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from model.files.atomic_write import SaveError
from model.files.journal import JournalFile, read_journal
from model.files.table_changes import changes_between, with_changes

ENTRIES = [{"a": 1}, {"on": date(2027, 6, 12)}, ["x", None, 0.1 + 0.2], "\u2028\x85 line", {"": ""}]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "state" / "work.jsonl"


def test_what_was_appended_is_read_back_in_order(path: Path) -> None:
    journal = JournalFile(path)
    for entry in ENTRIES:
        journal.append(entry)
    held = read_journal(path)
    assert list(held.entries) == ENTRIES
    assert not held.is_torn
    assert held.length_bytes == path.stat().st_size
    assert [json.loads(line)["n"] for line in path.read_bytes().split(b"\n")[:-1]] == [
        1,
        2,
        3,
        4,
        5,
    ]


def test_at_whatever_byte_it_is_torn_the_whole_lines_before_hold(path: Path) -> None:
    JournalFile(path).append(*ENTRIES[:3])
    whole = path.read_bytes()
    ends = [0, *(at + 1 for at, byte in enumerate(whole) if byte == 10)]
    for length in range(len(whole) + 1):
        path.write_bytes(whole[:length])
        held = read_journal(path)
        assert held.length_bytes == max(end for end in ends if end <= length)
        assert len(held.entries) == ends.index(held.length_bytes)
        assert held.is_torn is (length not in ends)


def test_a_changed_byte_is_found_wherever_it_stands(path: Path) -> None:
    JournalFile(path).append({"value": 17}, {"value": 18})
    whole = path.read_bytes()
    first_end = whole.index(b"\n") + 1
    for at, byte in enumerate(whole):
        path.write_bytes(whole[:at] + bytes([byte ^ 1]) + whole[at + 1 :])
        held = read_journal(path)
        # White space between the keys says nothing: there alone may a byte change unfound.
        assert held.entries in (
            ({"value": 17}, {"value": 18}), ({"value": 17},) if at >= first_end else (),
        )  # fmt: skip


def test_a_line_that_is_missing_or_doubled_ends_what_holds(path: Path) -> None:
    JournalFile(path).append("a", "b", "c")
    a, b, c = path.read_bytes().splitlines(keepends=True)
    for lines, held in ((a + c, ("a",)), (a + b + b + c, ("a", "b")), (b + c, ())):
        path.write_bytes(lines)
        assert read_journal(path).entries == held
        assert read_journal(path).is_torn


@pytest.mark.parametrize("data", [b"\0" * 500, b"[" * 100_000 + b"\n", b"{}\n", b"7\n", b"\xff\n"])
def test_what_is_no_journal_holds_nothing(path: Path, data: bytes) -> None:
    path.parent.mkdir()
    path.write_bytes(data)
    assert read_journal(path).entries == ()
    assert read_journal(path).is_torn


def test_a_torn_tail_is_cut_off_by_the_next_line(path: Path) -> None:
    JournalFile(path).append("a", "b")
    path.write_bytes(path.read_bytes()[:-5])
    JournalFile(path).append("c")
    assert read_journal(path).entries == ("a", "c")
    assert not read_journal(path).is_torn


def test_a_full_disk_leaves_what_was_there_and_the_next_line_fits(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    journal = JournalFile(path)
    journal.append("a")
    write = os.write

    def half(descriptor: int, data: Any) -> int:
        write(descriptor, bytes(data)[: len(data) // 2])
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as full:
        full.setattr(os, "write", half)
        with pytest.raises(SaveError, match="the disk is full"):
            journal.append("b")
    assert read_journal(path).entries == ("a",)
    journal.append("c")
    assert read_journal(path).entries == ("a", "c")


def test_it_is_compacted_whole_or_not_at_all(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    journal = JournalFile(path)
    journal.append(*ENTRIES)
    journal.replace(["only"])
    journal.append("and")
    assert read_journal(path).entries == ("only", "and")

    def refuse(*_: object) -> None:
        raise OSError(errno.EIO, "Input/output error")

    with monkeypatch.context() as broken:
        broken.setattr(os, "fsync", refuse)
        with pytest.raises(SaveError):
            journal.replace([])
    assert read_journal(path).entries == ("only", "and")
    journal.discard()
    assert read_journal(path).entries == ()
    journal.append("new")
    assert read_journal(path).entries == ("new",)


def test_a_folder_or_a_pipe_in_its_place_is_refused_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    for place in (tmp_path, tmp_path / "pipe"):
        with pytest.raises(ValueError, match="is not a file"):
            read_journal(place)


SCALARS = st.none() | st.booleans() | st.integers() | st.text(max_size=3) | st.dates()
TABLES = st.recursive(
    SCALARS,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=2), inner),
    max_leaves=12,
)


@given(TABLES, TABLES)
def test_changes_make_the_one_of_the_other(before: Any, after: Any) -> None:
    changes = changes_between(before, after)
    assert with_changes(before, changes) == after
    assert (changes == []) is (repr(before) == repr(after)) or before == after


def test_a_change_says_only_what_changed() -> None:
    before = {"title": "x", "stations": [{"name": "A"}, {"name": "B", "cost": 1}]}
    after = {"title": "x", "stations": [{"name": "A"}, {"name": "C"}]}
    assert changes_between(before, after) == [
        [["stations", 1, "cost"]], [["stations", 1, "name"], "C"],
    ]  # fmt: skip


@pytest.mark.parametrize("change", [[["a", 0], 1], [["b", "c", "d"], 1], [["l", 7], 1], [["x"]]])
def test_a_change_that_does_not_fit_is_refused(change: list[Any]) -> None:
    with pytest.raises((LookupError, TypeError)):
        with_changes({"a": 1, "b": {"c": "text"}, "l": [1]}, [change])
