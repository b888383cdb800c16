"""What the program says of shipped scenarios and of made kits stays as it was stored.

A change that means to move a figure or a sentence stores them anew, and the difference of the
stored files shows what moved: ``python -m tests.unit.test_pinned_outcomes``.
"""

from __future__ import annotations

import gzip
import json
from dataclasses import fields, is_dataclass
from datetime import date
from math import isclose, isfinite
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import tomli_w

from model.advice.advice import Counsel, counsel
from model.engine.comparison import Comparison, simulate
from model.export.kit_page import kit_of
from model.export.outcome_data import as_data
from model.files.scenario_file import parse_scenario
from model.verdict.table import verdict
from tests.unit.made_kits import made_kit

HERE = Path(__file__).parent
SHIPPED = sorted((HERE.parents[1] / "scenarios").glob("*.toml"))
MADE = range(40)
# Reruns for advice cost more than the run; a share of the kits shows them.
ADVISED_EVERY, PAGED_EVERY = 8, 4
RELATIVE, ABSOLUTE = 1e-9, 1e-12


def said_of(comparison: Comparison, *, advised: bool, paged: bool) -> dict[str, Any]:
    """Return figures and sentences by the way that leads to them."""
    found = verdict(comparison)
    advice = counsel(comparison) if advised else Counsel((), (), (), ())
    said: dict[str, Any] = {
        "sentences": [*found.sentences, *advice.sentences],
        "rows": [[row.label, row.unit, *row.texts] for row in found.rows],
        "data": as_data(comparison, advice),
    }
    if paged:
        kits = (kit_of(comparison, index) for index in range(len(comparison.runs)))
        said["page"] = [plain(kit.results) for kit in kits]
    return dict(leaves(said))


def plain(value: Any) -> Any:
    """Return values as lists, dictionaries, numbers and strings; arrays by their sums."""
    if is_dataclass(value):
        return {
            f.name: plain(getattr(value, f.name))
            for f in fields(value)
            if f.name not in ("scenario", "comparison", "run")
        }
    if isinstance(value, np.ndarray):
        return [value.size, float(np.sum(value.astype(np.float64)))]
    if isinstance(value, dict):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [plain(item) for item in value]
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, np.generic):
        return value.item()
    return value if isinstance(value, str | int | float | bool | None) else str(value)


def leaves(value: Any, at: str = "") -> Any:
    if isinstance(value, dict):
        for key, item in value.items():
            yield from leaves(item, f"{at}.{key}")
    elif isinstance(value, list):
        for index, item in enumerate(value):
            yield from leaves(item, f"{at}.{index}")
    else:
        yield at[1:], value if not isinstance(value, float) or isfinite(value) else str(value)


def shipped(path: Path) -> dict[str, Any]:
    return said_of(simulate(parse_scenario(path.read_bytes())), advised=True, paged=True)


def made(seed: int) -> dict[str, Any]:
    comparison = simulate(parse_scenario(tomli_w.dumps(made_kit(seed)).encode()))
    return said_of(comparison, advised=seed % ADVISED_EVERY == 0, paged=seed % PAGED_EVERY == 0)


def stored(name: str) -> dict[str, Any]:
    packed = (HERE / "pinned" / f"{name}.json.gz").read_bytes()
    found: dict[str, Any] = json.loads(gzip.decompress(packed))
    return found


def differences(now: dict[str, Any], before: dict[str, Any]) -> list[str]:
    return [
        f"{path}: {before.get(path, 'nothing')!r} -> {now.get(path, 'nothing')!r}"
        for path in sorted(now.keys() | before.keys())
        if not _same(now.get(path, "nothing"), before.get(path, "nothing"))
    ]


def _same(one: Any, other: Any) -> bool:
    if isinstance(one, float) and isinstance(other, float | int):
        return isclose(one, other, rel_tol=RELATIVE, abs_tol=ABSOLUTE)
    return bool(one == other)


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_shipped_scenarios_say_what_was_stored(path: Path) -> None:
    assert differences(json.loads(json.dumps(shipped(path))), stored(path.stem)) == []


@pytest.mark.parametrize("seed", MADE)
def test_made_kits_say_what_was_stored(seed: int) -> None:
    assert differences(json.loads(json.dumps(made(seed))), stored("made")[str(seed)]) == []


def _store() -> None:
    whole = {path.stem: shipped(path) for path in SHIPPED}
    whole["made"] = {str(seed): made(seed) for seed in MADE}
    for name, said in whole.items():
        text = json.dumps(said, ensure_ascii=False, separators=(",", ":"))
        (HERE / "pinned" / f"{name}.json.gz").write_bytes(gzip.compress(text.encode(), mtime=0))


if __name__ == "__main__":
    _store()
