"""The record of a class: every deed is kept, whatever the disk or a kill does in between."""

from __future__ import annotations

import csv
import errno
import io
import os
import re
from pathlib import Path

import pytest

from app.classroom.kept import Kept, Line, Measured, Said, kept_of
from app.classroom.lessons import classes_in, shipped_folder
from app.classroom.record import ClassRecords
from app.classroom.record_table import HEADS, record_csv
from model.files.journal import JournalFile, read_journal

DEEDS = (
    ("at", {"screen": "opening six.hours 0", "spent_s": {"arriving": 61.5}}),
    ("guesses", {"question": "q", "round": 1, "line": "7 8 9", "people": 3}),
    ("guesses", {"question": "q", "round": 1, "line": "11", "people": 1}),
    ("taken back", {"question": "q", "round": 1}),
    ("reasons", {"question": "q", "counts": [3, 1]}),
    ("guesses", {"question": "q", "round": 2, "line": "8", "people": 1}),
    ("measured", {"question": "q", "text": "0.79 A"}),
    ("votes", {"question": "v", "round": 1, "counts": [4, 0, 8]}),
    ("curve", {"question": "c", "round": 2, "heights": [0.5, 7]}),
    ("measured", {"question": "v", "text": ""}),
)


def filled(folder: Path) -> ClassRecords:
    records = ClassRecords(folder)
    assert records.begin("playlist 75", "75 minutes") == ""
    for deed, what in DEEDS:
        assert records.add(deed, **what) == ""
    return records


def test_a_record_holds_every_deed_with_its_date_and_no_answer(tmp_path: Path) -> None:
    filled(tmp_path)
    (path,) = tmp_path.glob("*.jsonl")
    assert re.fullmatch(r"000001 \d{4}-\d\d-\d\d\.jsonl", path.name)
    head, *deeds = read_journal(path).entries
    assert set(head) == {"class", "title", "begun"}
    assert len(deeds) == len(DEEDS)
    assert all(re.match(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d[+-]", deed["at"]) for deed in deeds)
    kept = ClassRecords(tmp_path).go_on("playlist 75")
    assert kept is not None
    assert kept.count == 3 + 1 + 12 + 1
    assert kept.place == "opening six.hours 0"
    assert kept.spent_s == {"arriving": 61.5}
    said = kept.said["q"]
    assert said.lines == {1: [Line("7 8 9", 3)], 2: [Line("8", 1)]}
    assert said.reasons == [3, 1]
    assert said.measured is not None
    assert said.measured.text == "0.79 A"
    assert kept.said["c"].curves == {2: [0.5, 1.0]}
    no_meter = kept.said["v"].measured
    assert no_meter is not None
    assert not no_meter.has_value
    assert no_meter.at.startswith("20")


def test_whatever_a_kill_tears_only_the_last_deed_can_go(tmp_path: Path) -> None:
    filled(tmp_path)
    (path,) = tmp_path.glob("*.jsonl")
    data = path.read_bytes()
    ends = [at + 1 for at, byte in enumerate(data) if byte == ord("\n")]
    for number, end in enumerate(ends[1:], start=1):
        for cut in (end, end - 1, end - 7):
            path.write_bytes(data[:cut])
            records = ClassRecords(tmp_path)
            kept = records.go_on("playlist 75")
            whole = number if cut == end else number - 1
            assert kept == kept_of(read_journal(path).entries[: whole + 1])
            assert records.was_torn == (cut != end)


def test_a_torn_record_is_written_on_after_its_last_sound_line(tmp_path: Path) -> None:
    filled(tmp_path)
    (path,) = tmp_path.glob("*.jsonl")
    path.write_bytes(path.read_bytes()[:-5])
    records = ClassRecords(tmp_path)
    assert records.go_on("playlist 75") is not None
    assert records.add("votes", question="v", round=2, counts=[1, 2, 3]) == ""
    records.let_go()
    kept = ClassRecords(tmp_path).go_on("playlist 75")
    assert kept is not None
    assert kept.said["v"].votes == {1: [4, 0, 8], 2: [1, 2, 3]}
    assert not read_journal(path).is_torn


@pytest.mark.parametrize(
    "entry",
    [
        None, 7, [], {"class": 1}, {"deed": "guesses"}, {"class": "a", "title": "A", "begun": "z"},
        {"lesson": "a.toml", "title": "A", "begun": "2027-03-06T19:00:00+01:00"},
    ],
    ids=repr,
)  # fmt: skip
def test_what_is_no_record_counts_as_none(tmp_path: Path, entry: object) -> None:
    path = tmp_path / "000001 2027-03-06.jsonl"
    JournalFile(path).append(entry)
    assert ClassRecords(tmp_path).latest() == {}
    path.write_bytes(b"\0" * 400)
    assert ClassRecords(tmp_path).latest() == {}


@pytest.mark.parametrize(
    "deed",
    [
        {"deed": "guesses", "question": "q", "round": 3, "line": "7", "people": 1},
        {"deed": "curve", "question": "q", "round": 1, "heights": ["x"]},
        {"deed": "votes", "question": "q", "round": 1, "counts": 7},
        {"deed": "at", "screen": "x", "spent_s": []},
    ],
    ids=repr,
)
def test_a_deed_that_cannot_be_read_ends_the_record_there(deed: object) -> None:
    head = {"class": "a", "title": "A", "begun": "2027-03-06T19:00:00+01:00"}
    good = {"deed": "votes", "at": "", "question": "q", "round": 1, "counts": [1]}
    after = {**good, "counts": [9]}
    found = kept_of([head, good, deed, after])
    assert found == Kept("a", "A", head["begun"], said={"q": Said(votes={1: [1]})})


def test_every_class_has_a_record_of_its_own_and_one_that_is_over_is_not_gone_on_with(
    tmp_path: Path,
) -> None:
    records = ClassRecords(tmp_path)
    for key in "aab":
        records.begin(key, key.upper())
        records.add("votes", question="q", round=1, counts=[1])
    assert records.add("over") == ""
    assert [path.name[:6] for path in sorted(tmp_path.glob("*.jsonl"))] == [
        "000001",
        "000002",
        "000003",
    ]
    assert records.go_on("b") is None
    assert records.latest()["b"].is_over
    assert records.go_on("a") is not None
    assert records.latest()["a"].count == 1


def test_a_record_is_written_by_one_window_at_a_time(tmp_path: Path) -> None:
    here, there = filled(tmp_path), ClassRecords(tmp_path)
    assert there.go_on("playlist 75") is None
    assert there.is_elsewhere
    assert there.begin("playlist 75", "75 minutes") == ""
    assert there.add("votes", question="q", round=1, counts=[9]) == ""
    assert here.add("votes", question="q", round=1, counts=[5]) == ""
    first, second = sorted(tmp_path.glob("*.jsonl"))
    assert read_journal(first).entries[-1]["counts"] == [5]
    assert read_journal(second).entries[-1]["counts"] == [9]
    there.let_go()
    assert here.go_on("playlist 75") is not None
    assert not here.is_elsewhere
    assert here.add("votes", question="q", round=2, counts=[6]) == ""
    assert read_journal(second).entries[-1]["counts"] == [6]


def test_classes_begun_in_the_same_moment_have_two_records(tmp_path: Path) -> None:
    # The other window has locked its number, and its file is not there yet.
    other = ClassRecords(tmp_path)
    other.begin("a", "A")
    (first,) = tmp_path.glob("*.jsonl")
    first.unlink()
    assert ClassRecords(tmp_path).begin("b", "B") == ""
    (second,) = tmp_path.glob("*.jsonl")
    assert second.name[:6] == "000002"


def test_a_class_just_begun_does_not_hide_what_was_said_in_the_one_before(tmp_path: Path) -> None:
    records = ClassRecords(tmp_path)
    records.begin("a", "A")
    records.add("votes", question="q", round=1, counts=[3])
    records.begin("a", "A")
    assert records.latest()["a"].count == 0
    assert records.last_said()["a"].count == 3
    records.add("votes", question="q", round=1, counts=[2])
    assert records.last_said()["a"].count == 2


def test_what_a_full_disk_refused_is_written_with_the_next_deed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    records = ClassRecords(tmp_path)
    with monkeypatch.context() as refusing:
        refusing.setattr(os, "fsync", full)
        assert records.begin("a", "A").startswith("The record of the class could not be saved")
        said = records.add("votes", question="q", round=1, counts=[1])
        assert said.endswith("the disk is full")
    assert records.add("votes", question="q", round=2, counts=[2]) == ""
    records.let_go()
    kept = ClassRecords(tmp_path).go_on("a")
    assert kept is not None
    assert kept.said["q"].votes == {1: [1], 2: [2]}


def test_a_folder_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    records = ClassRecords(tmp_path / "file")
    said = records.begin("a", "A")
    assert said.startswith("The record of the class could not be saved")
    assert records.latest() == {}


def test_the_table_has_a_row_for_everything_said() -> None:
    listed = next(each for each in classes_in(shipped_folder())[0] if each.is_playlist)
    question = listed.programme.questions[0]
    kept = Kept("k", "=A class", "2027-03-06T19:00:00+01:00")
    said = kept.of(question.key)
    said.lines = {1: [Line("7am 8pm", 2)], 2: [Line("9pm", 1)]}
    said.votes, said.reasons, said.curves = {1: [4, 8]}, [2, 1], {2: [0.25]}
    said.measured = Measured("", "2027-03-06T19:30:00+01:00")
    table = record_csv(listed.programme, kept).lstrip("\ufeff")
    rows = list(csv.DictReader(io.StringIO(table)))
    assert tuple(rows[0]) == HEADS
    assert {row["class"] for row in rows} == {"'=A class"}
    assert [(row["what"], row["round"], row["of"], row["value"]) for row in rows] == [
        ("guesses", "1", "2", "7am 8pm"), ("hands", "1", "A", "4"), ("hands", "1", "B", "8"),
        ("guesses", "2", "1", "9pm"), ("curve", "2", "hour 0", "0.25"), ("reason", "", "A", "2"),
        ("reason", "", "B", "1"), ("measured", "", "", "no meter"),
    ]  # fmt: skip
    assert rows[-1]["at"] == "2027-03-06T19:30:00+01:00"
