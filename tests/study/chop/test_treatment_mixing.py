"""Heat treatments of choppers through a study: every ratio, blades as replicates, what is mixed."""

import numpy as np
import pytest

from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.sources import open_chops
from tests.chop import codes

HEAD = (
    "blade,kind,order,chops,width_mm,thickness_mm,board,operator,depth_mm,chips_count,rolls_count\n"
)


def rows_of(blades, chips, *, board=lambda blade, turn: f"b{turn}", operator=lambda blade: "ann"):
    """Two pieces, six single chops and a look before and after, for every blade."""
    lines = [f"{blade},inspection,,,,,,,,0,0" for blade in blades]
    for turn in range(2):
        for blade, strokes in blades.items():
            where = f"{board(blade, turn)},{operator(blade)}"
            lines.append(f"{blade},billet,{turn + 1},{strokes + turn},50,50,{where},,,")
    rng = np.random.default_rng(3)
    for number in range(1, 62, 10):
        for blade, strokes in blades.items():
            keeps = 0.9 if strokes < 30 else 0.6
            deep = 300 / strokes * keeps ** (number / 100) * np.exp(0.03 * rng.standard_normal())
            lines.append(f"{blade},single,{number},,,,c,{operator(blade)},{deep:.2f},,")
    lines += [f"{b},inspection,,,,,,,,{n},0" for b, n in zip(blades, chips, strict=True)]
    return HEAD + "\n".join(lines) + "\n"


def result_of(folder, treatment_of, rows, *, batches=None):
    toml = 'title = "Kinds (invented)"\nprotocol = "billet_chop"\n'
    for name in dict.fromkeys(treatment_of.values()):
        toml += f'[[heat_treatments]]\nid = "{name}"\n'
    for blade, treatment in treatment_of.items():
        toml += f'[[blades]]\nid = "{blade}"\nangle_per_side_deg = 20\nedge_length_mm = 200\n'
        toml += f'heat_treatment = "{treatment}"\n'
        toml += f'batch = "{batches[blade]}"\n' if batches else ""
    (folder / "study.toml").write_text(toml, encoding="utf-8")
    (folder / "chops.csv").write_text(rows, encoding="utf-8")
    return analyse_chops(open_chops(folder))


FOUR = {"A1": "hard", "A2": "hard", "B1": "soft", "B2": "soft"}
STROKES = {"A1": 20, "A2": 22, "B1": 33, "B2": 31}


def test_every_ratio_has_the_blades_as_replicates(tmp_path):
    found = result_of(tmp_path, FOUR, rows_of(STROKES, [1, 2, 12, 9]))
    told = {row["quantity"].split()[0]: row for row in found.to_dict()["treatments"]}
    assert set(told) == {"chops", "chips", "depth", "loss"}
    for row in told.values():
        assert (row["first"], row["second"], row["scope"]) == ("soft", "hard", "heat_treatments")
        assert row["blades"] == [2, 2]
    assert told["chops"]["ratio"]["low"] < 64 / 42 < told["chops"]["ratio"]["high"]
    assert told["chips"]["ratio"]["value"] == pytest.approx(21 / 3 * 208 / 252, rel=0.1)
    # Half way, at 60 chops, the single chops had only begun.
    assert told["depth"]["ratio"]["value"] == pytest.approx(42 / 64, rel=0.05)
    assert told["loss"]["difference"]["value"] == pytest.approx(30, abs=8)
    assert {"no_damage_to_compare", "few_blades", "batches_unknown"} <= set(codes(found))
    assert "heat treatments: chips per chop and length of edge, soft over hard" in found.summary()


def test_one_tool_each_says_nothing_of_heat_treatments(tmp_path):
    two = {"A1": "hard", "B1": "soft"}
    strokes = {"A1": 20, "B1": 33}
    found = result_of(tmp_path, two, rows_of(strokes, [1, 12]))
    assert {one.scope for one in found.report.treatments} == {"tools"}
    assert all("of these tools only" in one.summary() for one in found.report.treatments)
    assert codes(found).count("one_blade_per_treatment") == 2
    assert "few_blades" not in codes(found)


@pytest.mark.parametrize(
    ("what", "more"),
    [
        ("board", {"board": lambda blade, turn: blade[0] + str(turn)}),
        ("operator", {"operator": lambda blade: {"A": "ann", "B": "ben"}[blade[0]]}),
    ],
)
def test_what_changes_with_the_heat_treatment_is_named(tmp_path, what, more):
    rows = rows_of(STROKES, [1, 2, 12, 9], **more)
    if what == "board":
        rows = "\n".join(line for line in rows.splitlines() if ",single," not in line) + "\n"
    found = result_of(tmp_path, FOUR, rows)
    (said,) = [one for one in found.doubts if one.code == "mixed_with_treatment"]
    assert said.where.value == what
    assert f"No {what} saw blades of two heat treatments" in said.text


def test_a_factor_that_both_saw_is_not_named(tmp_path):
    found = result_of(tmp_path, FOUR, rows_of(STROKES, [1, 2, 12, 9]))
    assert "mixed_with_treatment" not in codes(found)


def test_one_batch_a_treatment_is_named(tmp_path):
    batches = {"A1": "q1", "A2": "q1", "B1": "q2", "B2": "q2"}
    found = result_of(tmp_path, FOUR, rows_of(STROKES, [1, 2, 12, 9]), batches=batches)
    assert "batch_confounded" in codes(found)
    own = {"A1": "q1", "A2": "q2", "B1": "q3", "B2": "q4"}
    found = result_of(tmp_path, FOUR, rows_of(STROKES, [1, 2, 12, 9]), batches=own)
    assert not {"batch_confounded", "batches_unknown"} & set(codes(found))


def test_none_found_on_one_kind_is_told_in_words(tmp_path):
    found = result_of(tmp_path, FOUR, rows_of(STROKES, [0, 0, 12, 9]))
    chips = next(one for one in found.report.treatments if one.quantity.startswith("chips"))
    assert chips.ratio.value == float("inf")
    assert "or more; soft chips more" in chips.summary()
    assert "or more" in found.summary()
