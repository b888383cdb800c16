"""A chemistry is one entry: a made-up one is complete everywhere, from the form to the page."""

from __future__ import annotations

from typing import Any

import pytest

from tests.unit.own_process import found_by


@pytest.fixture(scope="module")
def brine(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    return found_by("tests.unit.made_chemistry", tmp_path_factory.mktemp("home"))


def test_the_form_offers_it(brine: dict[str, Any]) -> None:
    assert brine["choice"] == "salt-water brine"
    assert "harmless" in brine["tip"]
    assert "7 for salt water" in brine["cells_help"]


def test_file_and_schema_hold_it(brine: dict[str, Any]) -> None:
    assert brine["read"]
    assert brine["schema"] == ["LFP", "Li-ion", "AGM", "flooded", "NiMH", "brine"]


def test_the_run_follows_its_curves(brine: dict[str, Any]) -> None:
    # A full pack of seven cells at 1.9 V; below freezing half of it is locked in.
    assert brine["rest_v"] == pytest.approx(7 * 1.9)
    assert brine["usable_ah_frozen"] < 0.5 * 20
    assert not brine["may_charge"], "no minute is as warm as 5 °C"


def test_the_library_keeps_it(brine: dict[str, Any]) -> None:
    assert brine["toml"]
    assert brine["csv"]
    assert brine["found"] == ["tub"]
    assert brine["reserve"] == 0.35, "its reserve is its own"


def test_cautions_stand_beside_it_and_on_its_page(brine: dict[str, Any]) -> None:
    assert "Brine splashes: keep it upright." in brine["cautions"]
    assert "lithium" not in brine["cautions"]
    assert "Brine freezes; no charging below 5 °C." in brine["page"]
    assert "hydrogen" not in brine["page"]


def test_findings_speak_of_it(brine: dict[str, Any]) -> None:
    said = " ".join(brine["findings"]).replace("\N{NO-BREAK SPACE}", " ")
    assert "0.35 for salt water" in said
    assert "below 8.4 V a salt water battery" in said
    assert "A salt water battery gives back about 0.7" in said
