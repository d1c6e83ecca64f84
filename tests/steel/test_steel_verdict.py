import json
from dataclasses import fields

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import t as student

from edgetest.doubts import codes
from edgetest.errors import UnusableInput
from edgetest.steel.belief import (
    DamageEvidence,
    LifeEvidence,
)
from edgetest.steel.carburised_case import solve_case
from edgetest.steel.decision import Losses
from edgetest.steel.hardness import fit_hardness
from edgetest.steel.heat_schedule import Heat, Plate
from edgetest.steel.quench import quench_response
from edgetest.steel.steel_evidence import SteelEvidence
from edgetest.steel.steel_verdict import Criteria, best_route, steel_verdict

GOOD_HARDNESS = fit_hardness(value=[59.5, 60, 59.5])
TWO_PIECES = fit_hardness(value=[59, 60, 60, 59.5], piece=list("abab"))
CONTRADICTORY = quench_response(
    {"oil": fit_hardness(value=[62, 62]), "water": fit_hardness(value=[45, 44])}
)
LIFE_ONLY = Criteria(hardness_hrc=None)


def weigh(*, life=(), damage=(), **given):
    """A verdict on evidence given by its kinds, one entry or several."""
    kinds = {each.name for each in fields(SteelEvidence)} & set(given)
    evidence = SteelEvidence(
        life=(life,) if isinstance(life, LifeEvidence) else tuple(life),
        damage=(damage,) if isinstance(damage, DamageEvidence) else tuple(damage),
        **{kind: given.pop(kind) for kind in kinds},
    )
    return steel_verdict(evidence, **given)


def verdict(log_ratio=0.3, se=0.05, **options):
    options = {"hardness": GOOD_HARDNESS} | options
    return weigh(life=LifeEvidence(log_ratio, se), **options)


def test_a_steel_that_outlasts_the_reference_is_reused():
    found = verdict(0.4)
    assert found.verdict == "reuse"
    assert found.probability_fit > 0.95
    assert found.next_test is None
    assert "No further test would save more hours than it costs." in found.reasons


def test_half_the_life_is_light_work():
    found = verdict(np.log(0.65), tests=())
    assert found.verdict == "reuse_light"


def test_a_third_of_the_life_is_not_reused():
    assert verdict(np.log(0.3)).verdict == "do_not_reuse"


def test_soft_steel_is_not_reused_even_before_a_test_blade():
    soft = fit_hardness(lower=[-np.inf], upper=[45])
    found = weigh(hardness=soft)
    assert found.verdict == "do_not_reuse"
    assert "reference_missing" in codes(found.doubts)


def test_without_evidence_it_cannot_tell_and_names_a_test_that_would_show_it():
    found = weigh(hardness=GOOD_HARDNESS)
    assert found.verdict == "cannot_tell"
    assert found.next_test.code == "another_blade"
    missing = {c.name for c in found.criteria if not c.evidence}
    assert missing == {"life"}


def test_cheapest_informative_test_comes_first():
    found = weigh(life=LifeEvidence(0.3, 0.05))
    assert found.next_test.code in ("quench_and_break", "hardness_ladder")
    assert found.next_test.saves_per_hour == max(t.saves_per_hour for t in found.tests)


def test_contradiction_holds_the_verdict_back():
    found = verdict(0.4, quench=CONTRADICTORY)
    assert found.verdict == "cannot_tell"
    assert found.next_test.code == "quench_and_break"
    assert "quench_contradiction" in codes(found.doubts)


def test_contradiction_does_not_save_a_steel_that_fails_on_the_rope():
    assert verdict(np.log(0.2), quench=CONTRADICTORY).verdict == "do_not_reuse"


def test_the_better_route_is_chosen_and_named():
    plain = verdict(np.log(0.45), route="as it is")
    packed = verdict(0.3, route="carburised")
    chosen = best_route([plain, packed])
    assert chosen is packed
    assert "carburised" in chosen.summary()
    with pytest.raises(UnusableInput, match="losses differ"):
        best_route([plain, verdict(0.3, losses=Losses(1, 1))])


def test_one_piece_speaks_for_itself_and_says_so():
    found = verdict(0.4)
    assert (found.scope, found.piece) == ("piece", "1")
    assert "one_piece" in codes(found.doubts)
    assert found.reasons[-1] == "This holds for piece 1; for the lot, test another piece."


def test_lot_needs_more_than_one_piece_in_every_kind_of_evidence():
    lives = [LifeEvidence(0.3, 0.05, piece=p) for p in "ab"]
    assert weigh(life=lives, hardness=TWO_PIECES).scope == "lot"
    alone = weigh(life=lives[0], hardness=TWO_PIECES)
    assert (alone.scope, alone.piece) == ("piece", "a")
    named = weigh(life=lives, hardness=TWO_PIECES, piece="b")
    assert (named.scope, named.piece) == ("piece", "b")


def test_lot_is_less_sure_than_its_well_known_pieces():
    lives = [LifeEvidence(0.1, 0.05, piece=p, blades=20) for p in "ab"]
    lot = weigh(life=lives, criteria=LIFE_ONLY)
    piece = weigh(life=lives, criteria=LIFE_ONLY, piece="a")
    width = lambda v: v.criteria[0].value.high - v.criteria[0].value.low  # noqa: E731
    assert width(lot) > width(piece)
    differing = [LifeEvidence(x, 0.05, piece=p, blades=20) for x, p in ((0.5, "a"), (-0.3, "b"))]
    assert width(weigh(life=differing, criteria=LIFE_ONLY)) > 1.3 * width(lot)


def test_odds_from_replicate_blades_are_students():
    found = weigh(life=LifeEvidence(0.05, 0.12, 4, between_blades_in_se=True), criteria=LIFE_ONLY)
    expected = student.sf((np.log(0.8) - 0.05) / 0.12, 4)
    assert found.criteria[0].probability_full == pytest.approx(expected, rel=1e-9)
    low = np.exp(0.05 - student.ppf(0.975, 4) * 0.12)
    assert found.criteria[0].value.low == pytest.approx(low, rel=1e-6)


@given(st.floats(-1.5, 1.0), st.floats(0.0, 0.5))
def test_a_longer_life_never_lowers_the_odds(log_ratio, more):
    first = verdict(log_ratio, tests=())
    second = verdict(log_ratio + more, tests=())
    assert second.probability_fit >= first.probability_fit - 1e-12
    assert second.probability_light_or_better >= first.probability_light_or_better - 1e-12


@given(st.floats(-1.5, 1.0))
def test_odds_and_bounds_are_in_order(log_ratio):
    found = verdict(log_ratio, tests=())
    low, high = found.fit_bounds
    assert 0 <= low <= found.probability_fit <= high <= 1
    assert found.probability_fit <= found.probability_light_or_better <= 1


@given(st.floats(-1.5, 1.0))
def test_a_test_saves_no_less_than_nothing_and_no_more_than_certainty(log_ratio):
    found = weigh(life=LifeEvidence(log_ratio, 0.2), criteria=LIFE_ONLY)
    blade = next(t for t in found.tests if t.code == "another_blade")
    assert blade.saves_h >= 0
    # Quadrature on a kinked loss is off by a few per cent of the largest loss at stake.
    assert blade.saves_h <= found.criteria[0].worth_knowing_h + 1.0
    ladder = next(t for t in found.tests if t.code == "hardness_ladder")
    assert ladder.saves_h == pytest.approx(0, abs=1e-9)  # life alone is asked about


def test_dear_mistakes_make_it_ask_for_more():
    doubtful = {"log_ratio": -0.05, "se": 0.1}
    cheap = verdict(**doubtful, losses=Losses(20, 4))
    dear = verdict(**doubtful, losses=Losses(2000, 400))
    assert cheap.verdict != "cannot_tell"
    assert dear.verdict == "cannot_tell"
    assert dear.next_test.code == "another_blade"


def test_nothing_left_to_test_decides_by_loss_alone():
    found = verdict(-0.05, 0.1, losses=Losses(2000, 400), tests=())
    assert found.verdict in ("reuse_light", "do_not_reuse", "reuse")
    assert found.next_test is None


def test_decisive_evidence_is_the_doubtful_one():
    found = verdict(0.5, hardness=fit_hardness(value=[57.0]))
    assert found.decides == "hardness"
    life = next(c for c in found.criteria if c.name == "life")
    assert life.if_fails == "do_not_reuse"
    assert life.without != found.verdict  # the life result is what carries it


def test_chop_damage_and_cracks_count_when_asked_for():
    asked = Criteria(damage_per_100=1.0, cracked_share=0.2)
    clean = verdict(0.5, criteria=asked, damage=DamageEvidence(0, 0, 0.4), cracking=(0, 8))
    broken = verdict(0.5, criteria=asked, damage=DamageEvidence(6, 4, 9), cracking=(5, 8))
    odds = lambda v: {c.name: c.probability_full for c in v.criteria}  # noqa: E731
    assert odds(clean)["damage"] > 0.9 > 0.1 > odds(broken)["damage"]
    assert odds(clean)["cracking"] > 0.85 > 0.1 > odds(broken)["cracking"]
    assert broken.verdict == "do_not_reuse"


def test_carburised_edge_that_is_soft_inside_is_not_full_use():
    heats = (Heat(900, 3, "carburising"), Heat(820, 0.2))
    thin, thick = (
        solve_case(heats, Plate(mm, 0.1), samples=60, nodes=60, rng=np.random.default_rng(1))
        for mm in (0.8, 3.0)
    )
    asked = Criteria(edge_hrc=58)
    good, bad = (verdict(0.5, criteria=asked, case=c) for c in (thin, thick))
    assert good.probability_fit > 0.8
    assert bad.verdict == "do_not_reuse"


def test_no_alloy_is_ever_named():
    words = " ".join(verdict(0.5).reasons) + verdict(0.5).summary()
    assert not any(name in words for name in ("1095", "1084", "5160", "52100", "O1", "W1", "L6"))


@pytest.mark.parametrize(
    ("act", "words"),
    [
        (lambda: weigh(criteria=Criteria(None, hardness_hrc=None)), "no criterion"),
        (lambda: verdict(piece="z"), "known are 1"),
        (lambda: verdict(float("nan")), "log ratio"),
        (
            lambda: verdict(criteria=Criteria(damage_per_100=1), damage=DamageEvidence(3, 4, 5)),
            "not a rate",
        ),
        (lambda: verdict(criteria=Criteria(cracked_share=0.1), cracking=(4, 3)), "4 of 3"),
    ],
)
def test_refuses_unusable_evidence(act, words):
    with pytest.raises(UnusableInput, match=words):
        act()


def test_json_is_plain():
    found = weigh(hardness=GOOD_HARDNESS)
    plain = json.loads(json.dumps(found.to_dict(), allow_nan=False))
    assert plain["verdict"] == "cannot_tell"
    assert {"code", "text"} == set(plain["warnings"][0])
    assert list(found.to_frame()["criterion"]) == ["life", "hardness"]
