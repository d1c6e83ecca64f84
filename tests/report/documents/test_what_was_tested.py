"""The part of a document that says what was tested: as typed, and 'not noted' where blank."""

import json
from types import SimpleNamespace

import pytest

from edgetest.doubts import doubt
from edgetest.report.documents import what_was_tested
from edgetest.report.documents.advice import parted
from edgetest.report.documents.doubt_sections import limits_section
from edgetest.store.log_rows import LogRow
from edgetest.store.workspace import new_study


@pytest.fixture
def said(tmp_path):
    def said(units="metric", plan=None, rows=(), notes="", of_steps="", **blade):
        steps = [
            {"kind": "austenitise", "temperature_c": "1500 °F", "soak_min": 5},
            {
                "kind": "temper",
                "temperature_f": 400,
                "time_min": "2 h",
                "repeats": 2,
                "note": "at 20 mm of scale",
            },
        ]
        study = new_study(
            tmp_path / units, "sisal_rope", "Typed",
            blades=[{"id": "K1", "heat_treatment": "low", **blade}],
            heat_treatments=[{"id": "low", "steps": steps, "note": of_steps}],
        )  # fmt: skip
        study = study.model_copy(update={"plan": plan, "notes": notes})
        result = SimpleNamespace(
            study=study, protocol=study.rules, reading="edge_width_um", limit=12.0,
            log=SimpleNamespace(rows=rows),
        )  # fmt: skip
        return json.dumps(what_was_tested.tested_section(result, units), ensure_ascii=False)

    return said


def test_temperatures_times_and_sizes_are_printed_as_they_were_typed(said):
    words = said(thickness_behind_edge_mm="1/32 in")
    assert "austenitise 1500 °F, soak 5 min; temper 2 × 400 °F, 2 h" in words
    assert "1/32 in" in words


@pytest.mark.parametrize("units", ["inch", "both"])
def test_a_persons_own_words_stand_as_typed_in_any_units(said, units):
    typed = {"notes": "40 mm place chipped on A2", "note": "bent 3 mm", "of_steps": "to 20 cm"}
    words = said(units, **typed)
    for told in (*typed.values(), ", at 20 mm of scale"):
        assert told in words
    assert ("(816 °C)" in words) is (units == "both")


def test_both_units_add_celsius_to_what_was_typed(said):
    assert "1500 °F (816 °C)" in said("both")
    assert "1500 °F," in said("inch")


def test_what_nobody_filled_in_is_not_noted_and_never_the_protocols(said):
    words = said()
    listed = "Steel; Edge angle; Edge finish; Behind the edge; Wanted, HRC; Measured, HRC"
    assert "Not noted" in words
    assert listed in words
    assert "per side" not in words.split("Not noted")[1]
    assert "It asks for" in words


def test_how_closely_an_edge_angle_is_known_stands_beside_it(said):
    assert "15° ± 0.5° per side (30° ± 1° included)" in said(angle_per_side_deg=15, angle_u_deg=0.5)
    bare = said("both", angle_per_side_deg=15)
    assert "15° per side (30° included)" in bare
    assert "how closely" not in bare


def test_what_a_blind_test_hides_is_sealed(said):
    words = said(plan={"sealed": "names"})
    assert '"Sealed", "Steel; Edge angle; Edge finish' in words.replace('": "', '", "')
    assert "ot noted" not in words


@pytest.mark.parametrize(
    ("runs", "words"),
    [
        ([("A1", ""), ("C1", "")], "C1, 1 run"),
        ([(b, f"roll {k}") for k in (1, 2, 3) for b in ("A1", "C1")], "C1, in 3 of 3 rolls"),
        ([("A1", "roll 1"), ("C1", "roll 1"), ("A1", "roll 2")], "C1, in 1 of 2 rolls"),
        ([("A1", "monday"), ("C1", "monday")], "C1, in 1 of 1 block"),
        ([("A1", "roll 1")], "C1, not in the log"),
        # Roll 2 ran out within the runs, which went on to roll 3.
        (
            [
                (b, f"roll {k}", f"roll {at}")
                for k, at in ((1, 1), (2, 2), (2, 3), (4, 4))
                for b in ("A1", "C1")
            ],
            "C1, in 3 of 3 blocks, on 4 of 4 rolls",
        ),
        (
            [("A1", "roll 1", "roll 1"), ("A1", "roll 1", "roll 2"), ("C1", "roll 1", "roll 1")],
            "C1, in 1 of 1 block, on 1 of 2 rolls",
        ),
        ([("A1", "roll 1", "roll 1"), ("C1", "roll 1", "roll 1")], "C1, in 1 of 1 roll"),
        # Blocks are the rolls begun on; A1 alone went on to roll 4.
        (
            [
                *((b, f"roll {k}") for k in (1, 2) for b in ("A1", "C1")),
                ("A1", "roll 2", "roll 4"),
            ],
            "C1, in 2 of 2 blocks, on 2 of 3 rolls",
        ),
    ],
)
def test_a_control_blade_is_said_to_run_where_it_ran(tmp_path, runs, words):
    study = new_study(tmp_path / "s", "sisal_rope", "Control", blades=["A1"], control="C1")
    rows = [
        LogRow(
            line, blade, 100 * (1 + len(batch)),
            readings={"edge_width_um": 3}, block=block, batch="".join(batch),
        )
        for line, (blade, block, *batch) in enumerate(runs, 2)
    ]  # fmt: skip
    left_out = LogRow(90, "C1", 100, readings={"edge_width_um": 3}, block="roll 2", exclude="slip")
    template = LogRow(91, "C1", 100, block="roll 2")
    log = SimpleNamespace(rows=[*rows, left_out, template])
    result = SimpleNamespace(
        study=study, protocol=study.rules, reading="edge_width_um", limit=12.0, log=log
    )
    said = json.dumps(what_was_tested.tested_section(result, "metric"))
    assert f'"{words}"' in said


@pytest.mark.parametrize(
    ("angles", "words"),
    [
        ((15, 15), "this supply of it, this limit and this edge angle. Another"),
        ((15, 18), "this supply of it, this limit and these edge angles. Another"),
        ((15, None), "), this supply of it and this limit. Another"),
        ((None, None), "), this supply of it and this limit. Another"),
    ],
)
def test_lives_hold_for_an_edge_angle_only_where_one_is_noted(tmp_path, angles, words):
    blades = [
        {"id": name} | ({"angle_per_side_deg": angle} if angle else {})
        for name, angle in zip("AB", angles, strict=True)
    ]
    study = new_study(tmp_path / "s", "sisal_rope", "Angle", blades=blades)
    result = SimpleNamespace(study=study, protocol=study.rules, fit=SimpleNamespace(blades=()))
    said = json.dumps(limits_section(result, None))
    assert words in said


def test_notes_of_a_blade_and_of_rows_stand_word_for_word(said):
    rows = [
        LogRow(line=line, blade="K1", cuts=50, note=note)
        for line, note in ((5, "sharpened again"), (6, "sharpened again"), (9, "wet"))
    ]
    rows.append(LogRow(line=11, blade="K2", cuts=50, note="wet"))
    words = said(rows=rows, note="hit the clamp, 1/4 in of edge")
    assert "hit the clamp, 1/4 in of edge" in words
    assert "sharpened again (rows 5 to 6)" in words
    assert '"K1, K2", "wet (2 rows from 9 to 11)"' in words
    assert "Noted of the blades" not in said("inch")


@pytest.mark.parametrize(
    ("title", "told"),
    [("control blade", "C1, control blade"), ("shop knife", "C1, shop knife · control"),
     ("", "C1 · control")],
)  # fmt: skip
def test_a_control_blade_is_called_one_once(tmp_path, title, told):
    study = new_study(
        tmp_path / "s", "sisal_rope", "Control", blades=["A1", {"id": "C1", "title": title}],
        control="C1",
    )  # fmt: skip
    result = SimpleNamespace(
        study=study, protocol=study.rules, reading="edge_width_um", limit=12.0,
        log=SimpleNamespace(rows=()),
    )  # fmt: skip
    said = json.dumps(what_was_tested.tested_section(result, "metric"), ensure_ascii=False)
    names = said.replace("\u200b", "")
    assert told in names
    assert names.count("control") == told.count("control")


def test_a_grade_that_ends_a_life_is_one_that_the_edge_falls_below():
    """A fresh edge that shaves "is" not the grade below it either."""
    said = what_was_tested._limit_words("paper grade", "", "slices copy paper")
    assert said == "paper grade; a blade's life ends where it falls below “slices copy paper”"


def test_the_grade_that_was_taken_asks_nothing_of_the_maker():
    told = doubt("grade_taken", grade="slices", why="the study's limit").text
    assert parted([told]) == ([told], [])
