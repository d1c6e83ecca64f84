"""A slip of the unit in a tool's weight or balance point, or in a piece's size, is asked about."""

import pytest

from edgetest.study.asked_about import asked_about
from edgetest.study.chop.asked_of_handling import assumed_doubts, chopper_doubts
from edgetest.study.sources import open_source

STUDY = """
title = "Camp hatchet (invented)"
protocol = "billet_chop"
blades = [{{id = "H7"}}]
[handling.H7]
grip_mm = 60
strike_mm = 310
{facts}
"""


def asked(folder, facts, size="50"):
    (folder / "study.toml").write_text(STUDY.format(facts=facts), encoding="utf-8")
    heading = "blade,kind,order,chops,width_mm,thickness_mm,species,moisture_pct\n"
    row = f"H7,billet,1,20,{size},{size},white ash,12\n"
    (folder / "chops.csv").write_text(heading + row, encoding="utf-8")
    return [str(one) for one in asked_about(open_source(folder))]


@pytest.mark.parametrize(
    ("facts", "words"),
    [
        ("mass_g = 0.69", "if it was kg, write 690"),
        ("mass_g = 690\nbalance_mm = 20.5", "first tenth"),
        ("mass_g = 690\nbalance_mm = 20.5\nlength_mm = 310", "first tenth"),
        ("balance_mm = 330\nlength_mm = 320", "outside the tool, which is 320 mm long"),
        ("balance_mm = 330", "beyond the strike point, 310 mm"),
    ],
)
def test_a_slip_of_weight_or_balance_is_asked_about(tmp_path, facts, words):
    (told,) = asked(tmp_path, facts)
    assert words in told
    assert "study.toml, handling.H7" in told


def test_what_is_usual_is_not_asked_about(tmp_path):
    assert asked(tmp_path, "mass_g = 690\nbalance_mm = 205\nlength_mm = 320") == []


def test_inches_typed_for_the_mm_of_a_piece_are_asked_about(tmp_path):
    told = asked(tmp_path, "mass_g = 690", size="2")
    assert len(told) == 2
    assert all("2 in are 50.8 mm" in one for one in told)


@pytest.mark.parametrize(("other", "asked_about_it"), [(700, False), (709, True), (1655, True)])
def test_two_masses_of_one_tool_are_asked_about(tmp_path, other, asked_about_it):
    study = STUDY.replace('id = "H7"', f'id = "H7", mass_g = {other}').format(facts="mass_g = 690")
    (tmp_path / "study.toml").write_text(study, encoding="utf-8")
    told = [str(one) for one in asked_about(open_source(tmp_path))]
    says = f"690 g here, but {other} g under [[blades]]; weigh it again"
    assert any(says in one for one in told) == asked_about_it


@pytest.mark.parametrize(
    ("length", "facts", "words"),
    [
        (
            "length_mm = 300",
            "",
            "beyond the tool, which is 300 mm long under [[blades]]; measure",
        ),
        ("", "length_mm = 300", "310 mm lies beyond the tool, which is 300 mm long; measure"),
        ("length_mm = 310", "", ""),
        ("length_mm = 200", "length_mm = 330", ""),
    ],
)
def test_a_strike_point_beyond_the_end_of_the_tool_is_asked_about(tmp_path, length, facts, words):
    more = f"{facts}\n" if facts else ""
    named = STUDY.replace('id = "H7"', f'id = "H7", {length}') if length else STUDY
    (tmp_path / "study.toml").write_text(named.format(facts=more), encoding="utf-8")
    (tmp_path / "chops.csv").write_text("blade,kind,order\n", encoding="utf-8")
    told = [str(one) for one in asked_about(open_source(tmp_path))]
    assert len(told) == bool(words)
    assert all(words in one and "handling.H7, strike_mm" in one for one in told)


SWING = "mass_g = 690\nbalance_mm = 205\npivot_mm = 15\nswings = 20\namplitude_deg = 10\n"


@pytest.mark.parametrize(
    ("seconds", "words"),
    [
        (
            "[21.2, 20.1, 21.25]",
            "seconds: a timing is off by whole swings, and is left out: timing 2, 20.1 s, fits 19"
            " swings, not 20; time and count it again",
        ),
        ("[21.2, 22.3]", "seconds: the timings differ by whole swings, and nobody can tell"),
        ("[21.2, 21.5, 21.25]", ""),
    ],
)
def test_a_timing_that_is_left_out_is_asked_about_before_the_test_is_answered(
    tmp_path, seconds, words
):
    told = asked(tmp_path, f"{SWING}seconds = {seconds}")
    assert [one for one in told if "seconds" in one] == [
        one for one in told if words and words in one
    ]
    assert len([one for one in told if "seconds" in one]) == bool(words)


@pytest.mark.parametrize(
    ("mass", "told"),
    [
        ('"690 ± 5"', "H7: where no ± was typed of weights and places, a standard uncertainty is"
                      " assumed: 1 mm for balance point and pivot; 3 mm for grip and strike"),
        ("690", "assumed: 1 g for mass; 1 mm for balance point and pivot; 3 mm for grip and"),
    ],
)  # fmt: skip
def test_what_is_taken_where_nobody_typed_a_limit_is_called_an_assumption(tmp_path, mass, told):
    asked(tmp_path, SWING.replace("690", mass) + "seconds = [21.2, 21.3]")
    (said,) = assumed_doubts(open_source(tmp_path).study)
    assert told in said.text
    assert said.gravity == "notes"


def test_of_a_tool_that_was_not_swung_nothing_is_assumed(tmp_path):
    asked(tmp_path, "mass_g = 690")
    assert list(assumed_doubts(open_source(tmp_path).study)) == []


def test_a_blade_size_in_centimetres_is_asked_about_and_doubted(tmp_path):
    def of(sizes):
        study = STUDY.replace('{{id = "H7"}}', '{{id = "H7", ' + sizes + "}}").format(
            facts="mass_g = 690"
        )
        (tmp_path / "study.toml").write_text(study, encoding="utf-8")
        heading = "blade,kind,order,chops,width_mm,thickness_mm,species,moisture_pct\n"
        row = "H7,billet,1,20,50,50,white ash,12\n"
        (tmp_path / "chops.csv").write_text(heading + row, encoding="utf-8")
        source = open_source(tmp_path)
        return [str(one) for one in asked_about(source)], list(chopper_doubts(source.study))

    assert of("length_mm = 385, edge_length_mm = 215") == ([], [])
    (told,), (one,) = of("length_mm = 385, edge_length_mm = 21.5")
    assert "blades 1 (H7), edge_length_mm" in told
    assert "if it was cm, write 215" in told
    assert (one.code, one.where.blade) == ("blade_size_asked", "H7")
    told, _ = of("length_mm = 38.5")
    assert "if it was cm, write 385" in "".join(told)
    (told,), none = of("edge_length_mm = 2.15")  # no blade at all has it: asked about once
    assert "2.15" in told
    assert not none
