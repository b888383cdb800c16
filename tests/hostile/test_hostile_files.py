"""Whatever bytes a file holds: a scenario, or faults in plain lines, and never anything else.

The long runs are ``python -m tests.hostile.long`` and ``python -m tests.hostile.kill``.
"""

from __future__ import annotations

import itertools
import string

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.files.scenario_file import FILE_LIMIT_BYTES, dump_scenario, parse_scenario
from tests.hostile.kill import kill_while_saving
from tests.hostile.long import put_through, put_through_files, read_or_refuse
from tests.hostile.mutations import SCENARIOS, file_number

TEXT = dump_scenario(SCENARIOS[0]).encode()
FULL = FILE_LIMIT_BYTES - 10
NAMES = ["".join(letters) for letters in itertools.product(string.ascii_lowercase, repeat=4)]


def test_damaged_and_extreme_files_never_break_the_program():
    report = put_through_files(0, 60)
    assert not report.broken, report.broken[0]
    assert report.ran > 20
    assert report.refused > 20


def test_a_file_of_a_number_is_always_the_same():
    assert file_number(17) == file_number(17)
    assert len({file_number(number) for number in range(30)}) > 20


@settings(max_examples=200)
@given(st.binary(max_size=400))
def test_any_bytes_are_refused_in_plain_lines(data):
    assert put_through(data) is False


@settings(max_examples=200)
@given(st.integers(0, len(TEXT)), st.integers(0, 40), st.binary(max_size=12))
def test_a_scenario_with_a_hole_patched_with_anything_is_read_or_refused(place, hole, patch):
    scenario = read_or_refuse(TEXT[:place] + patch + TEXT[place + hole :])
    assert scenario is None or parse_scenario(dump_scenario(scenario).encode()) == scenario


@pytest.mark.parametrize(
    "text",
    [
        "[" * FULL,
        "a = " + "[" * FULL,
        "a = " + "{a=" * (FULL // 3),
        "a = [" + "[1]," * (FULL // 4) + "]",
        "".join(f"{name} = 1\n" for name in NAMES[: FULL // 9]),
        "".join(f"[{name}]\n" for name in NAMES[: FULL // 7]),
        "[[plan]]\n" * (FULL // 9),
        "plan = [" + "1," * (FULL // 2) + "]",
        "plan = [" + "{}," * (FULL // 3) + "]",
        "[[stations]]\n" * (FULL // 13),
        "[site]\nhorizon = [" + "[1,2]," * (FULL // 6 - 10) + "]",
        "[site]\nhorizon = [[" + "1," * (FULL // 2 - 20) + "]]",
        "[[stations]]\n[stations.radio.sources]\n"
        + "".join(f'{name}.from = "guess"\n' for name in NAMES[: FULL // 20]),
        ".".join("a" * (FULL // 2)) + " = 1",
        "a = {" + ".".join("a" * (FULL // 2 - 10)) + " = 1}",
        ".".join(['"a"'] * (FULL // 4)) + " = 1",
        "\n" * FULL,
        "#" * FULL,
        "#\n" * (FULL // 2),
        "a = 0x" + "f" * FULL,
        "[[stations]]\n[stations.radio]\nreceive_a = 0x" + "f" * (FULL - 100),
        "format = 0x" + "f" * (FULL - 10),
        "a = " + "9" * 100_000,
        "a = 0." + "9" * (FULL - 10),
        'a = "' + "x" * (FULL - 10),
        'a = "' + "\\u0041" * (FULL // 6 - 10) + '"',
        '"' + "k" * (FULL - 10) + '" = 1',
        '"' * FULL,
        "'" * FULL,
        '\\"""' * (FULL // 4),
        '"""\\' * (FULL // 4),
        "\0" * FULL,
        "a" + " " * (FULL - 10) + "= 1",
        "(" * FULL,
    ],
    ids=lambda text: repr(text[:24]),
)
def test_a_file_as_large_as_allowed_is_refused_whatever_fills_it(text):
    assert put_through(text.encode()[:FILE_LIMIT_BYTES]) is False


def test_a_program_killed_while_saving_leaves_the_old_file_or_the_new_one():
    report = kill_while_saving(4)
    assert report.kills == 4
    assert report.torn == 0, report
