import json
from dataclasses import replace

import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.steel.carburised_case import solve_case
from edgetest.steel.hardness import fit_hardness
from edgetest.steel.heat_schedule import Heat, Plate
from edgetest.steel.quench import quench_response
from edgetest.steel.sequence import STEPS, Observations, next_step

HARD = fit_hardness(value=[63, 62])
SOFT = fit_hardness(lower=[-np.inf], upper=[40])
START = Observations(
    blades_in_stock=12, coating="none", magnetic=True, sparks="like_high", coupon_hrc=HARD,
    grain="fine", cracked=(0, 1), quench=quench_response({"oil": HARD}),
    tempered=fit_hardness(value=[59.5, 60]), verdict="reuse",
)  # fmt: skip


def at(**changes):
    return next_step(replace(START, **changes))


def test_nothing_known_asks_for_the_first_step_only():
    found = next_step(Observations())
    assert (found.action, found.step) == ("do", "enough")
    assert [s.state for s in found.steps] == ["do"] + ["later"] * (len(STEPS) - 1)


@pytest.mark.parametrize(
    ("changes", "step"),
    [
        ({"blades_in_stock": None}, "enough"),
        ({"magnetic": None}, "magnet_and_spark"),
        ({"sparks": None}, "magnet_and_spark"),
        ({"coupon_hrc": None, "quench": None}, "coupon"),
        ({"grain": None}, "coupon"),
        ({"quench": None}, "quench_ladder"),
        ({"tempered": None}, "temper_ladder"),
        ({"verdict": None}, "test_blade"),
    ],
)
def test_asks_for_the_first_open_step(changes, step):
    found = at(**changes)
    assert (found.action, found.step) == ("do", step)


@pytest.mark.parametrize(
    ("changes", "step", "words"),
    [
        ({"blades_in_stock": 2}, "enough", "2 blades"),
        ({"coating": "galvanised"}, "enough", "fumes"),
        ({"coating": "unknown"}, "enough", "fumes"),
        ({"magnetic": False}, "magnet_and_spark", "Not magnetic"),
        ({"verdict": "do_not_reuse"}, "test_blade", "condemns"),
    ],
)
def test_stops_early_and_says_why(changes, step, words):
    found = at(**changes)
    assert (found.action, found.step) == ("stop", step)
    assert words in found.summary()


def test_coarse_break_sends_back_not_away():
    assert at(grain="coarse").action == "repeat"


def test_cracked_coupons_send_back():
    found = at(cracked=(2, 3))
    assert (found.action, found.step) == ("repeat", "coupon")
    assert "2 of 3 cracked" in found.text
    assert at(cracked=(1, 4)).action == "finished"


def test_contradictory_quench_is_repeated():
    odd = quench_response({"oil": HARD, "water": SOFT})
    found = at(quench=odd)
    assert (found.action, found.step) == ("repeat", "quench_ladder")


def test_too_hard_after_temper_says_hotter():
    assert "hotter" in at(tempered=fit_hardness(value=[64, 64])).text


def test_steel_that_hardens_skips_the_case():
    assert {s.step: s.state for s in at().steps}["case"] == "skip"
    assert at().action == "finished"


def test_soft_steel_goes_to_the_case_and_skips_the_temper_ladder():
    soft = at(coupon_hrc=SOFT, quench=quench_response({"water": SOFT}), tempered=None)
    assert (soft.action, soft.step) == ("do", "case")
    assert {s.step: s.state for s in soft.steps}["temper_ladder"] == "skip"


def test_chopper_hardness_goes_to_the_temper_ladder_not_to_the_box():
    tough = fit_hardness(value=[55, 55])
    found = at(coupon_hrc=tough, quench=quench_response({"water": tough}), tempered=None)
    assert (found.action, found.step) == ("do", "temper_ladder")


def test_a_case_too_thin_for_the_section_stops():
    thick = solve_case(
        (Heat(900, 4, "carburising"),), Plate(6.0, 0.1, (2.5, 2.5)), samples=40, nodes=40,
        rng=np.random.default_rng(1),
    )  # fmt: skip
    found = at(coupon_hrc=SOFT, quench=quench_response({"water": SOFT}), case=thick)
    assert (found.action, found.step) == ("stop", "case")


def test_cautions_stand_where_the_step_is_planned():
    assert any("fumes" in c for c in next_step(Observations()).steps[0].cautions)
    assert at(quench=None).steps[STEPS.index("quench_ladder")].cautions


def test_unknown_word_lists_the_known():
    with pytest.raises(UnusableInput, match="like_low, between, like_high"):
        at(sparks="bushy")


def test_json_is_plain():
    assert json.loads(json.dumps(at().to_dict()))["action"] == "finished"
    assert len(at().to_frame()) == len(STEPS)
