"""A fault is told once with the rows it touches, and names the word that was probably meant."""

import pytest

from edgetest.errors import nearest


@pytest.fixture
def rope(run, tmp_path):
    folder = tmp_path / "rope"
    assert run("new", folder, "--protocol", "sisal_rope", "--blade", "A1")[0] == 0
    return folder


def test_nine_unknown_blades_of_twelve_rows_are_nine_faults(run, answer, rope):
    rows = [f"B{blade},{10 * stage},{2 + stage}" for stage in range(12) for blade in range(9)]
    (rope / "log.csv").write_text("\n".join(["blade,cuts,edge_width_um", *rows]), encoding="utf-8")
    code, out, _ = run("check", rope)
    assert code == 2
    assert out.rstrip().endswith("9 faults.")
    first = "log.csv, rows 2, 11, 20, 29, 38 and 7 more, blade: "
    assert f'fault: {first}the blade "B0" is not in study.toml (12 rows); ' in out
    code, _, err = run("fit", rope)
    assert (code, err.count("\n")) == (2, 6)  # five whole, and how many there are more
    assert err.startswith(first)
    assert "and 4 more" in err


def test_rows_that_follow_each_other_are_a_range_and_one_row_stays_one(run, rope):
    rows = ["B0,0,2", "B0,10,3", "B0,20,4", "A1,x,5"]
    (rope / "log.csv").write_text("\n".join(["blade,cuts,edge_width_um", *rows]), encoding="utf-8")
    _, out, _ = run("check", rope)
    assert 'fault: log.csv, rows 2 to 4, blade: the blade "B0" is not in study.toml (3 rows)' in out
    assert 'fault: log.csv, row 5, cuts: "x"' in out


@pytest.mark.parametrize(
    ("typed", "known", "meant"),
    [
        ("sharpness", ["mishap", "block", "cuts"], None),
        ("sharp", ["shaves", "cuts"], None),
        ("width", ["edge_width_um", "cuts"], "edge_width_um"),
        ("width_mm", ["edge_width_um", "block"], "edge_width_um"),
        ("edge widht", ["edge_width_um", "grade"], "edge_width_um"),
        ("heat", ["heat_treatment", "note"], "heat_treatment"),
        ("levle", ["level", "law"], "level"),
    ],
)
def test_only_a_word_that_is_alike_is_offered(typed, known, meant):
    assert nearest(typed, known) == meant


def test_a_column_that_nobody_knows_is_not_guessed_at(run, rope):
    (rope / "log.csv").write_text("blade,cuts,sharpness\nA1,0,5\n", encoding="utf-8")
    _, out, _ = run("check", rope)
    assert 'the column "sharpness" is not known; known: ' in out
    assert "did you mean" not in out


@pytest.mark.parametrize(
    ("typed", "known", "meant"),
    [
        ("billhook", ["chopper", "hedging tool", "knife"], "hedging tool"),
        ("billhooks", ["chopper", "hedging tool", "knife"], "hedging tool"),
        ("Hatchet", ["chopper", "hedging_tool"], "chopper"),
        ("mill scale", ["none", "removed", "painted"], "none"),
        ("billhook", ["none", "removed"], None),
    ],
)
def test_what_makers_also_call_it_leads_to_the_known_word(typed, known, meant):
    assert nearest(typed, known) == meant
