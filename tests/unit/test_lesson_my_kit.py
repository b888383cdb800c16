"""A student's own kit: the run agrees with the sum on paper."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.lessons.my_kit import MyKit, my_kit, scenario_of
from tests.plain import plain


def test_fifteen_ampere_hours_at_0_9_amperes_are_fifteen_hours() -> None:
    # 15 Ah x 0.9 / 0.9 A.
    found = my_kit(MyKit(receive_a=0.9, send_share=0.0))
    assert found.hours == pytest.approx(15.0, abs=0.1)
    assert plain(found.sum[-1]) == "13.5 Ah ÷ 21.6 Ah × 24 h = 15 h"


@settings(max_examples=12)
@given(
    receive_a=st.floats(0.02, 3), listen_h=st.floats(1, 24), send_a=st.floats(0.1, 25),
    send_share=st.sampled_from([0.0, 0.01, 0.2, 0.5]), capacity_ah=st.floats(2, 60),
    tested=st.floats(0.3, 1.1),
)  # fmt: skip
def test_the_run_agrees_with_the_sum_by_hand(
    receive_a: float, listen_h: float, send_a: float, send_share: float, capacity_ah: float,
    tested: float,
) -> None:  # fmt: skip
    kit = MyKit(
        receive_a=receive_a, listen_h=listen_h, send_a=send_a, send_share=send_share,
        capacity_ah=capacity_ah, tested_fraction=tested,
    )  # fmt: skip
    found = my_kit(kit)
    by_hand_h = (
        capacity_ah
        * tested
        / ((receive_a * (1 - send_share) + send_a * send_share) * listen_h / 24)
    )
    if found.hours is None:
        assert by_hand_h > 30 * 24 * 0.99
    else:
        assert found.hours == pytest.approx(by_hand_h, rel=0.02, abs=0.05)


@pytest.mark.parametrize("receive_a", [0.75, 0.153, 0.0317])
@pytest.mark.parametrize(("send_a", "send_share"), [(8.0, 0.05), (2.37, 0.131), (21.0, 0.0)])
def test_the_sum_can_be_redone_from_the_digits_shown(
    receive_a: float, send_a: float, send_share: float
) -> None:
    kit = MyKit(receive_a=receive_a, send_a=send_a, send_share=send_share, listen_h=17)
    battery, receiving, transmitting, together, day, hours = (
        [float(each) for each in re.findall(r"\d+(?:\.\d+)?", line)] for line in my_kit(kit).sum
    )
    for first, second, product in (battery, receiving, transmitting, day):
        assert float(f"{first * second:.3g}") == product
    assert float(f"{together[0] + together[1]:.3g}") == together[2]
    assert (together[0], together[1]) == (receiving[2], transmitting[2])
    assert (day[0], hours[0], hours[1]) == (together[2], battery[2], day[2])
    assert float(f"{hours[0] / hours[1] * hours[2]:.3g}") == hours[3]


def test_the_hours_on_the_air_are_those_asked_for() -> None:
    kit = MyKit(listen_h=6, send_share=0.2)
    block = scenario_of(kit).plan[0]
    sending_h = block.transmit_share * 24
    listening_h = (24 - sending_h) * block.listen_share
    assert sending_h + listening_h == pytest.approx(6)
    assert sending_h == pytest.approx(1.2)


@pytest.mark.parametrize("field", ["receive_a", "listen_h", "capacity_ah", "tested_fraction"])
def test_nothing_is_refused(field: str) -> None:
    with pytest.raises(ValueError, match="greater than 0"):
        MyKit(**{field: 0.0})


def test_a_small_load_lasts_beyond_a_month() -> None:
    assert plain(my_kit(MyKit(receive_a=0.01, send_share=0)).words) == "over 30 days"
