"""What the parser says of itself: completion of a shell, page of the manual."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest

from app.__main__ import main
from app.cli.completion import completion, every_command
from app.cli.manual import manual
from app.cli.parser import parser


def completed(*words: str) -> list[str]:
    """Return what bash offers for the last word."""
    given = " ".join(f"'{word}'" for word in words)
    script = (
        f"{completion('bash')}\n"
        f"COMP_WORDS=({given})\nCOMP_CWORD={len(words) - 1}\n_counterpoise\n"
        "printf '%s\\n' \"${COMPREPLY[@]}\"\n"
    )
    ran = subprocess.run(["bash", "-c", script], capture_output=True, text=True, check=True)
    assert ran.stderr == ""
    return ran.stdout.split()


@pytest.mark.parametrize(
    ("words", "offered"),
    [
        (["r"], ["run", "reports"]),
        (["--s"], ["--safe"]),
        (["lesson", ""], ["check", "-h", "--help"]),
        (["lesson", "check", "--s"], ["--summary"]),
        (["run", "a b.toml", "--js"], ["--json"]),
        (["odds", "x.toml", "--goal", "p"], ["plan"]),
        (["completion", "b"], ["bash"]),
        # Nothing of its own: the shell offers files.
        (["run", "scen"], []),
    ],
)
def test_bash_offers(words: list[str], offered: list[str]) -> None:
    assert completed("counterpoise", *words) == offered


def test_every_command_and_option_stands_in_the_manual() -> None:
    page = manual().replace("\\-", "-")
    for names, found in every_command(parser()):
        if not found.commands:
            assert f".SS counterpoise {' '.join(names)}\n" in page
        for action in found.told:
            if names in ((), ("run",)):
                assert all(option in page for option in action.option_strings)
    requests = set(re.findall(r"^(\.\w*)", page, re.MULTILINE))
    assert requests == {".TH", ".SH", ".SS", ".TP", ".B", ".RI", ".br", ".nf", ".fi"}
    assert not re.search(r"^'", page, re.MULTILINE)


def test_both_are_printed(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["manual"]) == 0
    assert capsys.readouterr().out == manual()
    assert main(["completion", "zsh"]) == 0
    assert "bashcompinit" in capsys.readouterr().out


def test_the_script_is_one_that_bash_reads(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    assert main(["completion", "bash"]) == 0
    script = tmp_path / "script"
    script.write_text(capsys.readouterr().out)
    subprocess.run(["bash", "-n", str(script)], check=True)
