"""What reports answer about a mode and a power, and what they are told to leave open."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import minimize
from scipy.stats import norm, t

from model.reception.cells import Cell, cells_of
from model.reception.censored_fit import fit
from model.reception.requests import readable, too_few
from model.reception.shares import counted_by_evening, counting_half_width_db, evening_share
from model.reception.table_reading import reports_in
from model.reception.thresholds import FT8, MODES, MORSE, VOICE, mode_named
from tests.plain import plain

ALL_HEARD = "every path that heard would read it"


def cell(snr_db, evening=None, missed=None, power_w=8.0, whole_db=True) -> Cell:
    """Return a cell; reports go round the evenings by default."""
    snr = np.asarray(snr_db, np.float64)
    if evening is None:
        evening = np.arange(snr.size) % 12
    evening = np.asarray(evening)
    count = int(evening.max()) + 1 if missed is None else len(missed)
    nobody = np.zeros(count) if missed is None else np.asarray(missed, np.float64)
    return Cell("40 m", 21, FT8, power_w, snr, evening, nobody, whole_db)


def spread_out(low=-20, high=19, times=5) -> list[int]:
    return list(range(low, high + 1)) * times


def test_a_share_is_a_count_of_the_reports_that_reach_what_is_needed():
    # Voice needs +10 dB: of -20 to 19, each as often, that is 9.5 of 40 with half of the 10s.
    answer = readable(cell(spread_out()), VOICE, 8.0)
    assert answer.share.share == pytest.approx(9.5 / 40)
    # With 80 W all are 10 dB stronger.
    assert readable(cell(spread_out()), VOICE, 80.0).share.share == pytest.approx(19.5 / 40)
    assert readable(cell(spread_out()), VOICE, 80.0).needed_db == pytest.approx(0.0)


def test_an_operator_may_need_3_db_more_or_less():
    answer = readable(cell(spread_out()), VOICE, 8.0)
    assert answer.by_ear_share == pytest.approx((6.5 / 40, 12.5 / 40))
    assert readable(cell(spread_out()), FT8, 4.0).by_ear_share is None


@pytest.mark.parametrize(
    ("needed_db", "half_width_db", "part"),
    [(3.0, 0.5, 0.5), (2.5, 0.5, 1.0), (3.5, 0.5, 0.0), (3.25, 0.5, 0.25), (3.0, 0.0, 1.0),
     (4.0, 2.0, 0.25)],
)  # fmt: skip
def test_a_report_counts_by_the_part_above_what_is_needed(needed_db, half_width_db, part):
    found = counted_by_evening(np.array([3.0]), np.array([0]), 1, needed_db, half_width_db)
    assert found.tolist() == [part]


def test_a_report_counts_over_fewer_decibels_the_more_there_are_and_near_the_decoders_lowest():
    few, many = np.tile([-8.0, 8.0], 64), np.tile([-8.0, 8.0], 512)
    # 128 reports with a deviation of 8 dB: 1.2 * 8 / 128 ** (1 / 3), and half of that for 1024.
    assert counting_half_width_db(few, 10.0, -21.0, 0.5) == pytest.approx(9.6 / 128 ** (1 / 3))
    assert counting_half_width_db(many, 10.0, -21.0, 0.5) == pytest.approx(9.6 / 1024 ** (1 / 3))
    assert counting_half_width_db(few, -15.0, -21.0, 0.5) == pytest.approx(1.0)
    assert counting_half_width_db(few, -21.0, -21.0, 0.5) == 0.5


def test_the_interval_is_wilsons_with_students_t_by_neighbouring_evenings():
    # By hand: 12 evenings of ten paths, by turns three and five of which reach it: each differs
    # from its neighbour by two paths.
    found = evening_share(np.array([3.0, 5.0] * 6), np.full(12, 10.0))
    assert found.share == pytest.approx(0.4)
    variance = 12 * (2.0**2 / 2) / 120**2
    trials = 0.4 * 0.6 / variance
    # Degrees of freedom 2 * 11 ** 2 / (3 * 12 - 4) = 7.6, and so 7.
    z = t.ppf(0.9, 7)
    middle = (0.4 + z * z / (2 * trials)) / (1 + z * z / trials)
    half = z / (1 + z * z / trials) * np.sqrt(0.24 / trials + (z / (2 * trials)) ** 2)
    assert (found.low, found.high) == pytest.approx((middle - half, middle + half))


def test_a_change_over_the_season_is_no_error_of_its_share():
    steady = evening_share(np.array([4.0, 6.0] * 6), np.full(12, 10.0))
    changing = evening_share(np.array([1, 1, 2, 3, 4, 4, 6, 6, 7, 8, 9, 9.0]), np.full(12, 10.0))
    assert changing.share == steady.share
    assert changing.high - changing.low < steady.high - steady.low


def test_evenings_that_differ_widen_the_interval():
    of = np.full(12, 10.0)
    alike = evening_share(np.full(12, 5.0), of)
    differing = evening_share(np.array([1.0, 9.0] * 6), of)
    assert alike.share == differing.share
    assert differing.high - differing.low > 2 * (alike.high - alike.low)


@pytest.mark.parametrize("share", [0.0, 1.0])
def test_none_or_all_is_still_an_interval(share):
    found = evening_share(np.full(12, 10.0 * share), np.full(12, 10.0))
    # As Wilson has it for none of 120 independent paths.
    z2 = t.ppf(0.9, 7) ** 2
    assert found.high - found.low == pytest.approx(z2 / (120 + z2))


@pytest.mark.parametrize(("paths", "both"), [(7.5, False), (8.4, True)])
def test_a_few_paths_tell_how_many_at_most_alone(paths, both):
    counted = np.zeros(12)
    counted[[2, 5, 9]] = paths / 3
    rare = evening_share(counted, np.full(12, 20.0))
    assert rare.has_both_bounds is both
    assert (rare.low > 0.0) is both
    assert rare.share < rare.high < 0.1
    # All but a few are the same the other way round.
    most = evening_share(20.0 - counted, np.full(12, 20.0))
    assert (most.low, most.high) == pytest.approx((1.0 - rare.high, 1.0 - rare.low))


def test_within_a_decibel_of_what_is_read_it_is_known_how_many_read_it_at_least():
    # Half of all reports stand within the lowest decibels, where some paths did not get through.
    near = cell([-24] * 4 + [-21, -20, -19, -18] * 25 + list(range(-17, 3)) * 5)
    at_edge, above = readable(near, FT8, 8.0).share, readable(near, FT8, 8.0 / 10**0.1).share
    assert (at_edge.low, at_edge.high) == (above.low, 1.0)
    assert above.low < above.share < at_edge.share < 1.0
    # Of attempts the same comes from the fit, which that decibel is no part of.
    tried = attempts()
    assert readable(tried, FT8, 8.0).share == tried.hump.above(-21.0)


@pytest.mark.parametrize(
    ("reports", "evenings", "missing"),
    [
        (99, 12, "99 reports on 12 evenings: 1 report is missing"),
        (100, 11, "100 reports on 11 evenings: 1 evening is missing"),
        (1, 1, "1 report on 1 evening: 11 evenings and 99 reports are missing"),
        (40, 12, "40 reports on 12 evenings: 60 reports are missing"),
    ],
)
def test_nothing_is_said_of_too_few(reports, evenings, missing):
    few = cell(np.full(reports, 5.0), np.arange(reports) % evenings)
    assert too_few(few) == f"{missing} before a share can be named"
    answer = readable(few, VOICE, 8.0)
    assert (answer.share, answer.refusal) == (None, too_few(few))


def test_enough_is_twelve_evenings_and_a_hundred_reports():
    assert readable(cell(np.full(100, 5.0)), VOICE, 8.0).refusal == ""


def test_upwards_in_the_same_mode_is_not_known():
    for mode, watts in ((FT8, 16.0), (MORSE, 80.0)):
        answer = readable(cell(spread_out()), mode, watts)
        assert answer.share is None
        assert ALL_HEARD in plain(answer.refusal)
        assert "those that did not hear do not report" in answer.refusal


def test_a_few_reports_at_the_lowest_value_are_taken_as_they_are():
    # Three of 203 stand at the lowest: whatever they are, no share moves by 3 points.
    few = [-12] * 3 + spread_out(-11, 28)
    assert readable(cell(few), FT8, 1.0).share.share > 0.98
    many = [-12] * 30 + spread_out(-11, 28)
    assert "the decoder's lowest value" in readable(cell(many), FT8, 1.0).refusal


def attempts(power_w=8.0) -> Cell:
    """Return paths of one hump at -15 +- 8 dB, all of which were tried."""
    chance = np.random.default_rng(11)
    true_db = -15.0 + 8.0 * chance.standard_normal((20, 40))
    is_heard = true_db >= FT8.threshold_db
    evening = np.nonzero(is_heard)[0]
    missed = (~is_heard).sum(axis=1)
    return cell(np.rint(true_db[is_heard]), evening, missed, power_w)


def test_attempts_answer_upwards_by_a_fit():
    answer = readable(attempts(), FT8, 16.0)
    true = norm.sf((-21.0 - 10 * np.log10(2) + 15.0) / 8.0)
    assert answer.share.low < true < answer.share.high
    assert answer.share.share == pytest.approx(true, abs=0.02)
    # And of all paths tried where it is a count.
    assert readable(attempts(), FT8, 8.0).share.share == pytest.approx(norm.sf(-0.75), abs=0.02)


def test_a_fit_is_not_followed_without_end():
    answer = readable(attempts(), FT8, 800.0)
    assert answer.share is None
    assert "the fit is not followed further than 10 dB" in plain(answer.refusal)


def test_the_fit_is_the_most_likely_one():
    edges_db = np.arange(-20.5, 12.0)
    chance = np.random.default_rng(2)
    place = np.searchsorted(edges_db, chance.normal(-14.0, 9.0, (13, 60)))
    counts = np.stack([np.bincount(row, minlength=edges_db.size + 1) for row in place]) * 1.0
    found = fit(edges_db, counts)

    def unlikely(given: np.ndarray) -> float:
        below = norm.cdf(edges_db, given[0], np.exp(given[1]))
        shares = np.diff(np.concatenate([[0.0], below, [1.0]]))
        return -float(counts.sum(axis=0) @ np.log(np.maximum(shares, 1e-300)))

    best = minimize(unlikely, [-10.0, 2.0], method="Nelder-Mead",
                    options={"xatol": 1e-7, "fatol": 1e-9})  # fmt: skip
    assert found.mean_db[0] == pytest.approx(best.x[0], abs=1e-4)
    assert found.sd_db[0] == pytest.approx(np.exp(best.x[1]), abs=1e-4)
    assert found.mean_db.shape == (14,)


def test_reports_of_each_band_hour_mode_and_power_are_kept_apart():
    head = "time,snr,power,mode,frequency_mhz\n"
    rows = [
        f"2027-03-05 {hour}:15,-12,{watts},{mode},{mhz}\n"
        for hour in (20, 21) for watts in (5, 8) for mode in ("FT8", "FT4") for mhz in (7.07, 3.5)
    ]  # fmt: skip
    found = cells_of(reports_in((head + "".join(rows)).encode(), "x.csv", "UTC"))
    assert len({(each.band, each.hour, each.mode, each.power_w) for each in found}) == 16


def test_every_threshold_names_its_source_and_can_be_found_by_its_names():
    for mode in MODES:
        assert mode.source
        assert all(mode_named(name) is mode for name in mode.names)
        assert -40.0 < mode.threshold_db < 20.0
    # What nobody has looked up is said to be so where the figure is shown.
    from_memory = [mode.label for mode in MODES if "from memory" in mode.source]
    assert from_memory == ["Morse", "FT4", "FT8", "JT65"]
    # P.-T. de Boer, Electron, February 2015: 29 and 7 dB below the noise in 2500 Hz.
    assert (mode_named("WSPR").threshold_db, mode_named("PSK31").threshold_db) == (-29.0, -7.0)
    # E. A. Laport, Radio Antenna Engineering (1952), appendix VII: 9 dB in 3 kHz.
    assert VOICE.threshold_db == pytest.approx(9.0 + 10 * np.log10(3000 / 2500), abs=0.3)
    # The same for an average Morse operator, 0 dB, and 10 to 15 dB less for a practised one.
    assert -15.0 <= MORSE.threshold_db <= 0.0
    # 31 dB between voice and FT8 within 4 dB: talks of the protocol's authors, from memory.
    assert VOICE.threshold_db - FT8.threshold_db == pytest.approx(31.0, abs=4.0)
