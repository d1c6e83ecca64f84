"""Claims scored, in words, and what of them is doubted, from numbers made by hand."""

from math import inf, nan
from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.estimate import Estimate
from edgetest.stats.held_references import held_references
from edgetest.store.validation_set import KnownPhoto
from edgetest.study.validation import validate_set as module
from edgetest.study.validation.validate_set import (
    ClaimScored,
    NothingStated,
    SetupScored,
    StatedReference,
    Validation,
    validate_set,
)


def scored(kind="widths", count=1, *, off=0.0, refused=()):
    values = np.arange(3.0, 3.0 + count)
    found = None
    if count:
        found = held_references(
            values + off, values + off - 0.1, values + off + 0.1, values, np.full(count, 0.01),
            unit="µm",
        )  # fmt: skip
    return ClaimScored(kind, (), tuple(refused), found)


def test_a_claim_is_told_with_its_count_share_and_differences():
    (first, second) = scored().lines()
    assert first.startswith("Edge width: 1 of 1 reference held (100 %, 95 % interval 5 to 100 %).")
    assert second == "Mean difference: one value tells none."
    refused = [NothingStated("a.png", "It shows no edge.")] * 2
    (first, second, third) = scored("blocks", 3, off=0.05, refused=refused).lines()
    assert first.startswith("Hardness: 3 of 3 blocks held")
    assert "%); 2 refused. " in first
    assert second.startswith("Mean difference, stated less reference: +0.05 µm (")
    assert third == "Limits of agreement: from six on."
    last = scored("pairs", 6, off=np.array([0.02, -0.02, 0.01, -0.01, 0.03, -0.03])).lines()[-1]
    assert last.startswith("Limits of agreement: from -")
    assert last.endswith("between them lie 95 % of the differences.")
    assert "second less first" in scored("pairs", 6).lines()[1]


def test_a_claim_of_which_nothing_was_stated_says_that():
    assert scored(count=0).lines() == ["Edge width: nothing was stated."]
    refused = [NothingStated("a.png", "It shows no edge.")]
    assert scored(count=0, refused=refused).lines() == [
        "Edge width: nothing was stated; 1 refused."
    ]


@pytest.mark.parametrize(
    ("low", "high", "off"),
    [(0.9, 1.1, False), (1.0, 1.1, False), (0.9, 1.0, False), (1.01, 1.1, True),
     (0.9, 0.99, True)],
)  # fmt: skip
def test_a_set_up_is_off_where_its_interval_leaves_out_one(low, high, off):
    setup = SetupScored("stand", 1, Estimate(1.05, low, high, "times"))
    assert setup.off is off
    assert setup.to_dict()["off"] is off


def test_the_whole_is_told_line_by_line():
    setup = SetupScored("stand", 1, Estimate(1.05, 1.02, 1.08, "times"))
    refused = [NothingStated("a.png", "It shows no edge.")]
    found = Validation("Mine", True, (scored(refused=refused),), (setup,), ())
    said = found.summary().splitlines()
    assert said[0] == "Mine (invented)"
    assert said[3] == "a.png: refused. It shows no edge."
    assert said[4].startswith("Set-up stand: its 1 width are 1.05")
    assert Validation("Mine", False, (), (), ()).summary() == "Mine"
    assert found.part("widths") is found.parts[0]
    assert found.part("blocks") is None
    assert found.to_dict()["blocks"] is None


def photo(name, **more):
    facts = {"photo": name, "um_per_px": 1.0, "relative_u": 0.01, "tone": None,
             "light": "on-axis", "microscope": "stand", "edge": ""}  # fmt: skip
    return SimpleNamespace(**facts | more)


def result(width=None, below=None, *, measured=True):
    reasons = [] if measured else [{"text": "It shows no edge."}, {"text": "It is blurred."}]
    return SimpleNamespace(
        measured=measured, numbers={"width_um": width, "below_um": below, "reasons": reasons}
    )


WIDTH = {"mean": 3.0, "low": 2.8, "high": 3.2}


def scored_set(monkeypatch, results, *, widths=(), pairs=()):
    known = SimpleNamespace(
        title="Mine", invented=False, widths=widths, pairs=pairs, blocks=(), coupons=()
    )
    monkeypatch.setattr(module, "load_validation", lambda _: SimpleNamespace(known=known))
    monkeypatch.setattr(module, "_described", lambda one: one.photo)
    monkeypatch.setattr(module, "_measured", lambda *_: results)
    return validate_set("anywhere")


def known_width(name, reference, **more):
    return photo(name, reference_um=reference, reference_u_um=0.05, **more)


def test_widths_are_scored_by_value_or_bound_and_refusals_are_told(monkeypatch):
    results = {"a": result(WIDTH), "b": result(below=1.5), "c": result(measured=False)}
    widths = [known_width("a", 3.1), known_width("b", 1.0), known_width("c", 2.0)]
    found = scored_set(monkeypatch, results, widths=widths)
    part = found.part("widths")
    first, second = part.rows
    assert (first.value, first.low, first.high) == (3.0, 2.8, 3.2)
    assert (first.setup, first.scale_u, first.thing) == ("stand", 0.01, "a")
    assert np.isnan(second.value)
    assert (second.low, second.high) == (-inf, 1.5)
    (refused,) = part.refused
    assert (refused.name, refused.why) == ("c", "It shows no edge. It is blurred.")
    assert part.found.held == 2
    (setup,) = found.setups
    assert setup.widths == 1  # a bound has no ratio
    assert setup.ratio.value == pytest.approx(3.0 / 3.1)
    assert found.doubts == ()


def test_a_factor_that_is_no_chance_is_told_by_its_way(monkeypatch):
    sharp = {"mean": 4.0, "low": 3.96, "high": 4.04}
    for reference, way in ((3.0, "wide"), (5.0, "narrow")):
        widths = [known_width("a", reference, edge="one"), known_width("b", reference, edge="one")]
        found = scored_set(monkeypatch, {"a": result(sharp), "b": result(sharp)}, widths=widths)
        told = {one.code: one.text for one in found.doubts}
        percent = 100 * abs(found.setups[0].ratio.value - 1)
        assert f"{percent:.1f} % too {way}" in told["setup_reads_off"]
        assert "references_of_one_edge" in told
        assert "claim_not_held" in told
    once = scored_set(monkeypatch, {"a": result(WIDTH)}, widths=[known_width("a", 3.0)])
    assert once.doubts == ()


def test_of_a_pair_the_first_look_is_the_reference_of_the_second(monkeypatch):
    results = {
        "a": result(WIDTH), "b": result({"mean": 3.4, "low": 3.0, "high": 3.9}),
        "bound": result(below=1.5), "none": result(measured=False),
    }  # fmt: skip

    def pair(first, second):
        return SimpleNamespace(first=photo(first), second=photo(second, microscope="other"),
                               edge="edge 1")  # fmt: skip

    pairs = [pair("a", "b"), pair("a", "bound"), pair("bound", "a"), pair("none", "a"),
             pair("a", "none")]  # fmt: skip
    part = scored_set(monkeypatch, results, pairs=pairs).part("pairs")
    (row,) = part.rows
    assert (row.value, row.low, row.high, row.reference) == (3.4, 3.0, 3.9, 3.0)
    assert row.reference_u == pytest.approx(0.2 / 1.96)
    assert row.setup == "stand and other"
    assert [one.why for one in part.refused] == [
        "One of the two shows an upper bound only.", "One of the two shows an upper bound only.",
        "It shows no edge. It is blurred.", "It shows no edge. It is blurred.",
    ]  # fmt: skip
    assert [one.name for one in part.refused][2:] == ["edge 1, none", "edge 1, none"]


def test_a_row_is_plain_for_json():
    row = StatedReference("a", nan, -inf, 1.5, 1.0, 0.05, "stand")
    assert row.to_dict() == {
        "name": "a", "setup": "stand", "value": None, "low": None, "high": 1.5, "reference": 1.0,
        "reference_u": 0.05,
    }  # fmt: skip
    assert "photo" in KnownPhoto.model_fields


BLOCK = """title = "Blocks"
[[blocks]]
name = "60"
stated_hrc = 60
stated_u_hrc = 0.3
how = "the block's certificate"
{read}
"""


@pytest.mark.parametrize(
    ("read", "low", "high"),
    [
        ("file_skates = 55\nfile_bites = 65", 55, 65),
        ("readings_hrc = [60.0]\nfile_skates = 55", 57, 63),
    ],
)
def test_files_and_readings_of_a_block_are_taken_together(tmp_path, read, low, high):
    (tmp_path / "validation.toml").write_text(BLOCK.format(read=read), "utf-8")
    (row,) = validate_set(tmp_path).part("blocks").rows
    assert low - 1 < row.low < row.value < row.high < high + 1
    assert row.thing == "60"
