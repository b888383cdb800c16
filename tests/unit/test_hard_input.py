"""What a clumsy or hostile command line or lesson gets: one plain line, exit 2 or 1, no more."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from app.__main__ import main, parsed
from app.resources import resource

ROOT = Path(__file__).parents[2]
RIDGE = str(resource("scenarios/ridge-weekend.toml"))
LESSON = resource("scenarios/lessons/tonight.toml")
NINES = "9" * 5000


def lesson_with(folder: Path, line: str) -> Path:
    """A sound lesson whose first step says one thing more, or says it otherwise."""
    text = LESSON.read_text(encoding="utf-8")
    key = line.partition(" = ")[0]
    if key == "given":
        head, _, rest = text.partition("\ngiven = ")
        text = f"{head}\n{line}\n{rest.partition(chr(10))[2]}"
    else:
        text = text.replace("[[steps]]\n", f"[[steps]]\n{line}\n", 1)
    path = folder / "lesson.toml"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize(
    "line",
    [
        'given = "{1+1||²}"',
        'given = "{1+1||٣}"',
        f'given = "{{1+1||{NINES[:900]}}}"',
        f'given = "{{at.06:30+{NINES[:300]}.fraction}}"',
        'given = "{stations.².name}"',
        'changes = { "" = 1 }',
        f'changes = {{ "stations.{NINES}" = 1 }}',
        f'changes = {{ "stations.{NINES}.name" = "x" }}',
        'drops = [""]',
        f'drops = ["stations.{NINES}"]',
    ],
    ids=lambda line: line[:24],
)
def test_a_hostile_lesson_gets_lines_and_exit_2(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], line: str
) -> None:
    assert main(["lesson", "check", str(lesson_with(tmp_path, line))]) == 2
    said = capsys.readouterr().err.splitlines()
    assert said
    assert all(said)
    assert "Traceback" not in "".join(said)


def program(words: str, **streams: int) -> subprocess.CompletedProcess[str]:
    """Run the program as a shell does, with some of its streams led elsewhere."""
    return subprocess.run(
        [sys.executable, "-m", "app", *words.split()],
        cwd=ROOT, text=True, timeout=120, check=False, stderr=subprocess.PIPE, **streams,
    )  # fmt: skip


@pytest.mark.parametrize(
    "words", ["lesson check {lesson}", "--help", "page {ridge} --pdf -", "lesson check --help"]
)
def test_a_full_disk_is_called_a_full_disk(words: str) -> None:
    with Path("/dev/full").open("wb") as full:
        done = program(words.format(lesson=LESSON, ridge=RIDGE), stdout=full.fileno())
    assert done.returncode == 1
    assert done.stderr == "standard output: cannot be written: the disk is full\n"


def test_a_full_disk_is_told_of_a_named_file_too(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["size", RIDGE, "--json", "/dev/full"]) == 1
    assert capsys.readouterr().err == "/dev/full: cannot be written: the disk is full\n"


@pytest.mark.parametrize("closed", ["stdout", "stdin"])
def test_closed_streams_give_one_line(
    closed: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, closed, None)
    file = "-" if closed == "stdin" else str(LESSON)
    assert main(["lesson", "check", file]) == (2 if closed == "stdin" else 1)
    assert capsys.readouterr().err.splitlines() == [
        "standard input: is closed" if closed == "stdin" else "standard output is closed"
    ]


def test_nobody_left_to_tell_is_no_fault(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(sys, "stderr", None)
    assert main(["lesson", "check", str(tmp_path / "none.toml")]) == 2


def test_a_lesson_without_end_is_refused_in_bounded_memory() -> None:
    reading, writing = os.pipe()
    with subprocess.Popen(
        [sys.executable, "-c", "import os\nwhile True: os.write(1, b'a = 1\\n' * 10000)"],
        stdout=writing, stderr=subprocess.DEVNULL,
    ) as endless:  # fmt: skip
        os.close(writing)
        done = program("lesson check -", stdin=reading)
        os.close(reading)
        endless.kill()
    assert done.returncode == 2
    assert done.stderr == "standard input: is too large; a scenario file may hold at most 1 MB\n"


def test_the_window_takes_a_file_and_may_start_safely() -> None:
    assert parsed([RIDGE]).files == [RIDGE]
    assert not parsed([RIDGE]).safe
    assert parsed(["--safe"]).safe
    assert parsed([RIDGE, "--safe"]).files == [RIDGE]
    assert parsed([]).command is None
    assert parsed(["run", "kit.toml"]).command == "run"
