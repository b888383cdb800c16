"""What reruns say: actions, load shedding, lead remedies, single points of failure."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from model.advice.advice import Counsel as Counsel
    from model.advice.advice import counsel as counsel
    from model.advice.advice import cures as cures
    from model.advice.advice import flips as flips
    from model.advice.battery_autonomy import battery_alone as battery_alone
    from model.advice.lead_remedies import lead_cures as lead_cures
    from model.advice.load_shedding import ladder as ladder
    from model.advice.single_points import weak_points as weak_points
else:
    from model.support.facade import offers

    __getattr__, __dir__, __all__ = offers(
        __name__,
        advice="Counsel counsel cures flips",
        load_shedding="ladder",
        lead_remedies="lead_cures",
        single_points="weak_points",
        battery_autonomy="battery_alone",
    )
