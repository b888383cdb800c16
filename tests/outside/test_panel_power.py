"""Power, tied power and volts of a panel against published models and module data."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pandas as pd
import pvlib
import pytest
from pvlib import pvsystem

from model.scenario.station import Panel
from model.sky.irradiance import PanelLight
from model.station.panel_curve import cold_open_circuit_v, panel_curve, tied_current_a


def light(irradiance_w_m2, cell_c):
    g = np.array([irradiance_w_m2], dtype=float)
    return PanelLight(g, g, np.array([cell_c], dtype=float))


def test_rating_at_other_light_and_heat():
    # A. Dobos, PVWatts Version 5 Manual, NREL/TP-6A20-62641 (2014): 900 W/m2, cells 30 degC, 100 W,
    # -0.003 per degC: 88.65 W.
    curve = panel_curve(Panel(rated_w=100.0, power_per_c=-0.003), light(900.0, 30.0))
    assert curve.maximum_w[0] == pytest.approx(88.65, abs=1e-9)


def test_standard_test_conditions_give_the_rating():
    # IEC 61215 / 60904-3: the rating holds at 1000 W/m2 and 25 degC cells.
    curve = panel_curve(Panel(rated_w=60.0, vmp_v=18.0, voc_v=22.0), light(1000.0, 25.0))
    assert curve.maximum_w[0] == pytest.approx(60.0, rel=1e-12)
    assert curve.open_circuit_v[0] == pytest.approx(22.0, rel=1e-12)
    # The one-diode curve puts the best point where its own knee lies.
    assert curve.maximum_power_v[0] == pytest.approx(18.0, rel=0.02)


@pytest.fixture(scope="module")
def modules():
    # California Energy Commission list (the library's copy of 2019-03-05): the modules of 36 cells,
    # 45-140 W and 16.5-18.5 V at the best point. Used as statistics only.
    path = Path(pvlib.__file__).parent / "data" / "sam-library-cec-modules-2019-03-05.csv"
    table = pd.read_csv(path, skiprows=[1, 2], low_memory=False)
    numbers = table.drop(columns=["Name", "Technology", "BIPV", "Version", "Date"])
    numbers = numbers.apply(pd.to_numeric, errors="coerce")
    rated = numbers["V_mp_ref"] * numbers["I_mp_ref"]
    chosen = (numbers["N_s"] == 36) & rated.between(45, 140)
    chosen &= numbers["V_mp_ref"].between(16.5, 18.5)
    return numbers[chosen]


def reference_share(modules, irradiance_w_m2, cell_c, volts):
    """Tied power over best power by the single-diode model of the same list (Dobos 2012)."""
    names = ("alpha_sc", "a_ref", "I_L_ref", "I_o_ref", "R_sh_ref", "R_s", "Adjust")
    diode = pvsystem.calcparams_cec(
        irradiance_w_m2, cell_c, *(modules[name].to_numpy() for name in names)
    )
    amperes = pvsystem.i_from_v(np.full(len(modules), volts), *diode)
    return volts * np.maximum(amperes, 0.0) / pvsystem.singlediode(*diode)["p_mp"]


def own_share(modules, irradiance_w_m2, cell_c, volts):
    shares = []
    for module in modules.itertuples():
        panel = Panel(
            rated_w=module.V_mp_ref * module.I_mp_ref,
            vmp_v=module.V_mp_ref,
            voc_v=module.V_oc_ref,
            power_per_c=module.gamma_r / 100.0,
            voc_per_c=module.beta_oc / module.V_oc_ref,
        )
        curve = panel_curve(panel, light(irradiance_w_m2, cell_c))
        shares.append(volts * tied_current_a(curve, volts)[0] / curve.maximum_w[0])
    return np.array(shares)


@pytest.mark.parametrize(("cell_c", "share"), [(25.0, 0.807), (60.0, 0.961)])
def test_tied_panel_in_full_light(modules, cell_c, share):
    # The list's single-diode model at 13.3 V: .807 with cells at 25 degC, .961 at 60 degC.
    assert len(modules) > 150
    assert reference_share(modules, 1000.0, cell_c, 13.3).mean() == pytest.approx(share, abs=2e-3)
    assert own_share(modules, 1000.0, cell_c, 13.3).mean() == pytest.approx(share, abs=0.03)


# Cells no more than some 45 degC over the coldest air the light can come with.
LIGHT_AND_HEAT = [
    (1000.0, -10.0), (1000.0, 0.0), (1000.0, 25.0), (1000.0, 45.0), (1000.0, 60.0), (1000.0, 70.0),
    (500.0, -10.0), (500.0, 0.0), (500.0, 25.0), (500.0, 45.0), (500.0, 60.0),
    (200.0, -10.0), (200.0, 0.0), (200.0, 25.0), (200.0, 45.0),
    (100.0, -10.0), (100.0, 0.0), (100.0, 25.0),
]  # fmt: skip


@pytest.mark.parametrize(("irradiance_w_m2", "cell_c"), LIGHT_AND_HEAT)
def test_tied_panel_over_light_heat_and_volts(modules, irradiance_w_m2, cell_c):
    for volts in (12.0, 13.3, 14.5):
        expected = reference_share(modules, irradiance_w_m2, cell_c, volts)
        found = own_share(modules, irradiance_w_m2, cell_c, volts)
        assert found.mean() == pytest.approx(expected.mean(), abs=0.03)
        # Module by module as well, for nine in ten.
        assert np.quantile(np.abs(found - expected), 0.9) < 0.06


def test_heat_does_not_rob_a_tied_panel():
    # Follows from the same list: between 25 and 60 degC the best power falls by a seventh and the
    # tied power hardly at all.
    panel = Panel(rated_w=100.0, vmp_v=18.0, voc_v=22.2, power_per_c=-0.0047, voc_per_c=-0.0033)
    cool, hot = (panel_curve(panel, light(1000.0, cell_c)) for cell_c in (25.0, 60.0))
    assert hot.maximum_w[0] / cool.maximum_w[0] < 0.86
    assert tied_current_a(hot, 13.3)[0] / tied_current_a(cool, 13.3)[0] > 0.97


@pytest.mark.parametrize(
    ("vmp_v", "share"), [(17.0, 0.78), (18.0, 0.73), (20.0, 0.66), (22.0, 0.6), (36.0, 0.37)]
)
def test_tied_share_of_the_trade(vmp_v, share):
    # Common practice, no source: at 25 degC and 13.2 V about battery volts over best volts. The
    # current at the battery lies a little above that at the best point, hence the one-sided band.
    panel = Panel(rated_w=100.0, vmp_v=vmp_v, voc_v=1.24 * vmp_v)
    curve = panel_curve(panel, light(1000.0, 25.0))
    found = 13.2 * tied_current_a(curve, 13.2)[0] / curve.maximum_w[0]
    assert share - 0.005 < found < share + 0.07


@pytest.mark.parametrize(("voc_v", "cold_v"), [(24.0, 27.2), (45.0, 51.1)])
def test_cold_panel_volts_of_the_trade(voc_v, cold_v):
    # Common practice, no source: -0.30 % per degC, at -20 degC.
    panel = Panel(rated_w=100.0, voc_v=voc_v, voc_per_c=-0.003)
    assert cold_open_circuit_v(panel, -20.0) == pytest.approx(cold_v, abs=0.05)
