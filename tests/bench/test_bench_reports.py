"""How long reports take, each figure beside parsing the same lines as a table and nothing more.

Read the medians; nothing here fails on time. Run with ``sh tests/run tests/bench``.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from model.reception.cells import cells_of
from model.reception.requests import readable
from model.reception.table_reading import reports_in
from model.reception.thresholds import FT8, VOICE
from tests.laws.reception_trial import ONE_HUMP, cell_of, drawn

Benchmark = Callable[..., Any]
ROWS = 100_000


@pytest.fixture(scope="module")
def table() -> bytes:
    chance = np.random.default_rng(1)
    minutes = chance.integers(0, 1440, ROWS).tolist()
    snr_db = chance.integers(-24, 20, ROWS).tolist()
    rows = [
        f"2027-03-{place % 28 + 1:02d} {minute // 60:02d}:{minute % 60:02d},{snr},8,FT8,40 m\n"
        for place, (minute, snr) in enumerate(zip(minutes, snr_db, strict=True))
    ]
    return ("time,snr,power,mode,band\n" + "".join(rows)).encode()


def test_a_hundred_thousand_rows_are_read(benchmark: Benchmark, table: bytes) -> None:
    assert benchmark(reports_in, table, "x.csv", "Europe/Berlin").rows == ROWS


def test_floor_of_reading_the_rows_alone(benchmark: Benchmark, table: bytes) -> None:
    def parsed() -> int:
        return sum(1 for _ in csv.reader(io.StringIO(table.decode())))

    assert benchmark(parsed) == ROWS + 1


def test_they_are_parted_by_band_and_hour(benchmark: Benchmark, table: bytes) -> None:
    assert len(benchmark(cells_of, reports_in(table, "x.csv", "Europe/Berlin"))) == 24


def test_a_share_is_counted(benchmark: Benchmark) -> None:
    cell = cell_of(*drawn(ONE_HUMP, np.random.default_rng(1), 40))
    assert benchmark(readable, cell, VOICE, 80.0).share is not None


def test_a_share_is_fitted(benchmark: Benchmark) -> None:
    pair = drawn(ONE_HUMP, np.random.default_rng(1), 40)

    def fitted() -> object:
        return readable(cell_of(*pair, attempts=True), FT8, 16.0).share

    assert benchmark(fitted) is not None
