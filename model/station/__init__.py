"""Physics of the parts that does not depend on the charge of the battery."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from model.station.carried_mass import carried_total as carried_total
    from model.station.carried_mass import shared_extras as shared_extras
    from model.station.chemistry import label_wh as label_wh
    from model.station.chemistry import nominal_v as nominal_v
    from model.station.chemistry import rest_v as rest_v
    from model.station.conductors import awg_mm2 as awg_mm2
    from model.station.conductors import copper_ohm_per_m as copper_ohm_per_m
    from model.station.key_down_law import fit as fit
    from model.station.rf_exposure import Exposure as Exposure
    from model.station.rf_exposure import exposures as exposures
    from model.station.transmit_path import given_rf_w as given_rf_w
    from model.station.transmit_path import highest_planned_w as highest_planned_w
else:
    from model.support.facade import offers

    __getattr__, __dir__, __all__ = offers(
        __name__,
        chemistry="rest_v nominal_v label_wh",
        key_down_law="fit",
        transmit_path="highest_planned_w given_rf_w",
        conductors="copper_ohm_per_m awg_mm2",
        rf_exposure="Exposure exposures",
        carried_mass="carried_total shared_extras",
    )
