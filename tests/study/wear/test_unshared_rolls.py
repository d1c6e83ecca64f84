"""A roll met earlier by one heat treatment, or by it alone, reaches the first sentence."""

from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.store.log_rows import LogRow
from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import AnalysisOptions, analyse
from edgetest.study.wear.page_one import page_one
from edgetest.study.wear.unshared_rolls import WHAT, findings_of, mean_life_cuts, rolls_of_lives
from edgetest.study.wear.without_a_blade import Answered
from edgetest.wear.compare.compare_lives import AS_USUAL, ComparisonOptions, compare_lives
from edgetest.wear.compare.replicates import lives_known

STAGES = (0, 50, 100, 150, 200, 250)
NEVER = 1000
LIVES = {"A": (200, 190, 210, 204), "B": (240, 228, 252, 246)}  # 1.2 times as long


def found(changed, lives=LIVES, *, options=AS_USUAL, block=None, batch=None, only_later=False):
    """What is said of rolls; `changed` are the cuts of each side, or of each blade by name."""
    names = [f"{side}{i}" for side, each in lives.items() for i in range(len(each))]
    after = {name: changed.get(name, changed.get(name[0])) for name in names}
    rows = [
        LogRow(k, name, cuts, readings={"w": 1}, block=(block or {}).get(name, ""),
               batch="" if after[name] is None or (only_later and cuts <= after[name])
               else f"roll {1 + (cuts > after[name])}")
        for k, (name, cuts) in enumerate((name, cuts) for name in names for cuts in STAGES)
    ]  # fmt: skip
    used = [SimpleNamespace(line=r.line, run=r.blade, blade=r.blade, block=r.block) for r in rows]
    columns = lives_known(
        names, [name[0] for name in names], np.log([life for of in lives.values() for life in of]),
        block=[block[name] for name in names] if block else None,
        batch=[batch[name] for name in names] if batch else None,
    )  # fmt: skip
    answered = Answered(compare_lives(columns, options), columns, options)
    log = SimpleNamespace(rows=rows)
    return rolls_of_lives(log, used, names, answered, {"A": "soft", "B": "hard"})


@pytest.mark.parametrize("changed", [{"A": 150, "B": 150}, {"A": NEVER, "B": NEVER}])
def test_rolls_changed_at_one_stage_by_all_are_not_told(changed):
    # B lasts longer, so up to its own life it had more of the second roll; up to one end it had not
    assert found(changed) == ([], [])


def test_no_roll_noted_tells_nothing_nor_does_one_side_alone():
    assert found({"A": None, "B": None}) == ([], [])
    assert found({"A": 100, "B": None}) == ([], [])


def test_a_little_apart_the_answer_is_told_with_and_without():
    others, (told,) = found({"A": 150, "B": 100})
    assert others == []
    assert told.gravity == "limits"
    assert (
        "of the first 220 cuts soft made 68 % on roll 1 and 32 % on roll 2; hard made 45 %"
        in told.text
    )
    assert "As if all rolls were alike: hard lasts 1.20 (1.12 to 1.29)" in told.text
    assert "With what the rolls differ by counted in: hard lasts 1.20 (1.07 to 1.35)" in told.text


def test_further_apart_the_verdict_hangs_on_the_rolls():
    (other,), (told,) = found({"A": 200, "B": 100})
    assert (other.what, other.given.verdict, other.verdict) == (WHAT, "longer", "cannot_tell")
    assert 0.9 < other.ratio.low < 1 < other.ratio.high < 1.6
    assert told.gravity == "decides"
    assert told.text.endswith("counted in: cannot tell which lasts longer.")


def test_a_roll_begun_in_mid_run_is_named_behind_the_block_s_own():
    one = dict.fromkeys((f"{side}{i}" for side in LIVES for i in range(4)), "roll 1")
    (other,), (told,) = found({"A": 200, "B": 100}, block=one, only_later=True)
    assert (other.what, other.verdict) == (WHAT, "cannot_tell")
    assert "on roll 1 and" in told.text
    assert found({"A": 150, "B": 150}, block=one, only_later=True) == ([], [])


def test_from_half_the_cutting_on_no_difference_however_large_is_settled():
    large = {"A": LIVES["A"], "B": tuple(3 * life for life in LIVES["B"])}
    (other,), (told,) = found({"A": NEVER, "B": 100}, large)
    assert (other.ratio.low, other.ratio.high) == (0.0, np.inf)
    assert told.gravity == "decides"


def test_alike_is_unsettled_too():
    alike = {"A": LIVES["A"], "B": LIVES["A"]}
    (other,), _ = found({"A": 150, "B": 50}, alike)
    assert (other.given.verdict, other.verdict) == ("no_relevant_difference", "cannot_tell")


def test_what_could_not_be_told_before_is_no_other_answer():
    wide = {"A": (100, 300), "B": (120, 330)}
    others, (told,) = found({"A": NEVER, "B": 100}, wide)
    assert others == []
    assert told.gravity == "limits"


def test_blocks_that_are_the_rolls_are_weighed_and_not_told():
    block = {
        f"{side}{i}": f"roll {1 + (i > k)}" for side, k in (("A", 2), ("B", 0)) for i in range(4)
    }
    changed = {name: NEVER if of == "roll 1" else -1 for name, of in block.items()}
    assert found(changed, block=block) == ([], [])
    assert found(changed)[1]  # without the column block they are


def test_a_batch_of_heat_treatment_counts_once():
    batch = {f"{side}{i}": f"{side} load {1 + i // 2}" for side in "AB" for i in range(4)}
    _, (told,) = found({"A": 200, "B": 100}, batch=batch)
    assert "hard made 45 % on roll 1 and 55 % on roll 2" in told.text


def test_the_control_blade_is_no_member_of_a_heat_treatment():
    lives = {**LIVES, "C": (200,)}
    options = ComparisonOptions(control="C0")
    assert found({"A": 150, "B": 150, "C": 50}, lives, options=options) == ([], [])


def test_of_three_heat_treatments_the_pair_that_changes_is_told():
    lives = {**LIVES, "C": tuple(life + 100 for life in LIVES["B"])}
    (other,), (told,) = found({"A": 150, "B": 150, "C": -1}, lives)
    assert "C" in (other.given.first, other.given.second)
    assert "C made 100 % on roll 2" in told.text


def test_findings_hold_every_pair_once_the_headline_first():
    lives = {**LIVES, "C": (400, 410, 420)}
    names = [f"{s}{i}" for s, each in lives.items() for i in range(len(each))]
    logs = np.log([life for each in lives.values() for life in each])
    comparison = compare_lives(lives_known(names, [name[0] for name in names], logs))
    pairs = [(one.first, one.second) for one in findings_of(comparison)]
    assert pairs[0] == ("A", "C")
    assert {frozenset(pair) for pair in pairs} == {frozenset(p) for p in ("AB", "AC", "BC")}
    assert len(pairs) == 3


def test_shares_end_at_the_mean_life_or_the_last_stage():
    rows = [LogRow(1, "A", 250, readings={"w": 1}), LogRow(2, "A", 400)]  # the last one waits
    of = lives_known(["A", "B"], ["A", "B"], np.log([100.0, 400.0]))
    assert mean_life_cuts(of, rows) == pytest.approx(200)
    assert mean_life_cuts(lives_known(["A"], ["A"], np.log([900.0])), rows) == 250


def widths(tmp_path, after, times, ratio):
    """A log of widths of eight blades, the second roll `times` as gritty."""
    rng = np.random.default_rng(5)
    lines = ["blade,heat_treatment,cuts,edge_width_um,batch"]
    for side in "AB":
        for i in range(4):
            life = 230 * np.exp(0.05 * rng.standard_normal()) * (ratio if side == "B" else 1)
            for cuts in (0, 50, 100, 160, 220, 280, 340):
                worn = min(cuts, after[side]) + times * max(0, cuts - after[side])
                width = np.sqrt(9 + 135 * worn / life) * np.exp(0.02 * rng.standard_normal())
                lines.append(f"{side}{i},{side},{cuts},{width:.2f},roll {1 + (cuts > after[side])}")
    path = tmp_path / "log.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return open_source(path)


@pytest.mark.parametrize("after", [{"A": 280, "B": 100}, {"A": NEVER, "B": 100}])
def test_a_gritty_roll_met_earlier_opens_the_answer_with_not_settled(tmp_path, after):
    options = AnalysisOptions(reading="edge_width_um", limit=12.0)
    result = analyse(widths(tmp_path, after, 1.5, 1.0), options)
    assert result.comparison.practical.verdict == "shorter"  # B, by its rope alone
    assert result.headline.answer[0] == f"Not settled: the answer hangs on {WHAT}."
    assert "settle first what it hangs on, what the rolls differ by" in page_one(result).choice


def test_readings_at_equal_cuts_that_lead_hang_on_the_rolls_too(tmp_path):
    options = AnalysisOptions(reading="edge_width_um", limit=60.0)
    result = analyse(widths(tmp_path, {"A": NEVER, "B": 100}, 1.5, 1.0), options)
    assert result.compared.at_cuts.leads
    assert result.headline.answer[0] == f"Not settled: the answer hangs on {WHAT}."
    told = [one for one in result.doubts if one.code == "rolls_not_shared"]
    assert [one.gravity for one in told] == ["decides"]
    assert "of the first 340 cuts" in told[0].text


@pytest.mark.parametrize(
    ("of_b", "how"),
    [(4, " cancels in"), (3, ", as the control blade C shows it, is taken out of")],
)
def test_what_blocks_or_a_control_blade_tell_of_rolls_is_not_called_unmeasured(of_b, how):
    lives = {**LIVES, "B": LIVES["B"][:of_b], "C": (200, 160)}
    block = {f"{side}{i}": f"roll {1 + i % 2}" for side in "ABC" for i in range(4)}
    logs = [life for each in lives.values() for life in each]
    names = [f"{side}{i}" for side, each in lives.items() for i in range(len(each))]
    columns = lives_known(
        ["C" if name[0] == "C" else name for name in names], [name[0] for name in names],
        np.log(logs), block=[block[name] for name in names],
    )  # fmt: skip
    damp = {name for name in names if name[0] == "B"}
    rows = [
        LogRow(k, "C" if name[0] == "C" else name, cuts, readings={"w": 1}, block=block[name],
               batch="damp" if name in damp and cuts > 100 else block[name])
        for k, (name, cuts) in enumerate((name, cuts) for name in names for cuts in STAGES)
    ]  # fmt: skip
    runs = [f"{name}, {block[name]}" if name[0] == "C" else name for name in names]
    used = [
        SimpleNamespace(line=row.line, run=run, blade=row.blade, block=row.block)
        for row, run in zip(rows, (run for run in runs for _ in STAGES), strict=True)
    ]
    options = ComparisonOptions(control="C")
    answered = Answered(compare_lives(columns, options), columns, options)
    _, (told,) = rolls_of_lives(SimpleNamespace(rows=rows), used, runs, answered, {})
    assert (
        f"What roll 1 and roll 2 differ by{how} the ratio. What damp did is in it, and was not "
        "measured; lives" in told.text
    )
    assert "How far they differ was not measured" not in told.text
