"""Results that the command line writes: whole, or the old file stays and one line says why."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from app.__main__ import main
from app.cli.outputs import OutputError, write_bytes
from model.files.scenario_file import dump_scenario
from tests.unit.scenario_maker import scenario

OLD = b"what stood here before"


def refuse(_descriptor: int) -> None:
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


@pytest.mark.parametrize(
    ("command", "option", "name"),
    [
        ("run", "--json", "out.json"), ("run", "--csv", "out.csv"), ("size", "--json", "out.json"),
        ("page", "--pdf", "out.pdf"),
    ],
)  # fmt: skip
def test_a_full_disk_leaves_the_old_result_and_says_why(
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    command: str,
    option: str,
    name: str,
) -> None:
    file, out = tmp_path / "kit.toml", tmp_path / name
    file.write_text(dump_scenario(scenario()), encoding="utf-8")
    out.write_bytes(OLD)
    monkeypatch.setattr(os, "fsync", refuse)
    assert main([command, str(file), option, str(out)]) == 1
    said = capsys.readouterr().err.strip().splitlines()
    assert len(said) == 1
    assert said[0].endswith("the disk is full")
    assert out.read_bytes() == OLD
    assert sorted(entry.name for entry in tmp_path.iterdir()) == sorted(["kit.toml", name])


def test_a_folder_that_is_none_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(OLD)
    with pytest.raises(OutputError, match="there is no such folder"):
        write_bytes(b"new", str(tmp_path / "file" / "out.json"))
    assert (tmp_path / "file").read_bytes() == OLD


def test_a_pipe_is_written_to_as_it_stands(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    reader = os.open(pipe, os.O_RDONLY | os.O_NONBLOCK)
    try:
        write_bytes(b"new", str(pipe))
        assert os.read(reader, 10) == b"new"
    finally:
        os.close(reader)
    assert pipe.is_fifo()


def kit_file(tmp_path: Path) -> Path:
    file = tmp_path / "kit.toml"
    file.write_text(dump_scenario(scenario()), encoding="utf-8")
    return file


@pytest.mark.parametrize(
    ("command", "option"),
    [("run", "--json"), ("run", "--csv"), ("size", "--json"), ("page", "--pdf")],
)
def test_no_output_replaces_an_input_of_the_same_call(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], command: str, option: str
) -> None:
    file = kit_file(tmp_path)
    kept = file.read_bytes()
    (tmp_path / "other-name.toml").symlink_to(file)
    for out in (file, tmp_path / "other-name.toml", tmp_path / "." / "kit.toml"):
        assert main([command, str(file), option, str(out)]) == 2
        assert capsys.readouterr().err == (
            f"{option}: {out} is read here and must not be replaced\n"
        )
        assert file.read_bytes() == kept


@pytest.mark.parametrize("out", ["-", "both.txt"])
def test_two_outputs_never_share_one_place(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, out: str
) -> None:
    file = kit_file(tmp_path)
    monkeypatch.chdir(tmp_path)
    assert main(["run", str(file), "--json", out, "--csv", out]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    where = "standard output" if out == "-" else out
    assert told.err == f"--json and --csv cannot both go to {where}\n"
    assert not (tmp_path / "both.txt").exists()
