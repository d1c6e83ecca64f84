"""A row that was left out with a reason waits for nothing."""

from edgetest.store.workspace import new_study
from edgetest.study.bench.session_file import end_run, leave_out

HEAD = "blade,cuts,station_mm,edge_width_um,exclude"


def test_a_blank_row_with_a_reason_is_not_told_as_still_to_fill_in(run, tmp_path):
    folder = tmp_path / "rope"
    new_study(folder, "sisal_rope", "Two tempers", blades=("A1", "B1"))
    log = folder / "log.csv"
    rows = ["A1,0,40,2.1,", "A1,50,40,5.0,", "A1,100,40,,cracked and cut no further", "B1,0,40,,"]
    log.write_text("\n".join([HEAD, *rows]) + "\n", encoding="utf-8")
    _, out, _ = run("check", folder)
    assert "still to fill in: row 5 (B1); of one that was never taken, write why" in out
    log.write_text("\n".join([HEAD, *rows[:3]]) + "\n", encoding="utf-8")
    _, out, _ = run("check", folder)
    assert "still" not in out.split("left out")[0]


def test_what_was_let_go_at_the_bench_is_not_told_as_still_to_fill_in(run, tmp_path):
    folder = tmp_path / "rope"
    new_study(folder, "sisal_rope", "Two tempers", blades=("A1", "B1"))
    rows = ["A1,0,40,2.1,", "A1,50,40,,", "A1,100,40,5.0,", "B1,0,40,2.0,", "B1,50,40,,"]
    (folder / "log.csv").write_text("\n".join([HEAD, *rows]) + "\n", encoding="utf-8")
    assert "2 rows still wait" in run("check", folder)[1]
    leave_out(folder, ("", "A1"), 50)
    assert "1 row still waits" in run("check", folder)[1]
    end_run(folder, ("", "B1"))
    assert "still wait" not in run("check", folder)[1]


def test_a_remark_of_the_bench_is_no_row_that_waits(run, tmp_path):
    folder = tmp_path / "rope"
    new_study(folder, "sisal_rope", "Two tempers", blades=("A1", "B1"))
    head = f"{HEAD},mishap,note"
    rows = [
        "A1,0,40,2.1,,,", "A1,50,40,5.0,,,", "B1,0,40,2.0,,,", "B1,50,40,,,,look twice",
        "A1,50,,,,,new piece of the medium", "B1,20,,,,hit the board or clamp,",
    ]  # fmt: skip
    log = folder / "log.csv"
    log.write_text("\n".join([head, *rows]) + "\n", encoding="utf-8")
    out = run("check", folder)[1]
    assert "(1 of them still to fill in)" in out
    assert "still to fill in: row 5 (B1)" in out
    # without stations a note stands in the row of its stage, which waits on
    bare = [f"{head}", "A1,0,,2.1,,,", "A1,50,,,,,look twice", "A1,20,,,,twisted,"]
    log.write_text("\n".join(bare) + "\n", encoding="utf-8")
    assert "still to fill in: row 3 (A1)" in run("check", folder)[1]


def test_a_mishap_behind_which_no_reading_counts_is_not_told_as_one_that_counts(run, tmp_path):
    folder = tmp_path / "rope"
    new_study(folder, "sisal_rope", "Two tempers", blades=("A1",))
    rows = ["A1,0,40,2.1,,", "A1,50,40,5.0,,", "A1,100,40,14,chip,", "A1,60,,,,hit the board"]
    (folder / "log.csv").write_text("\n".join([f"{HEAD},mishap", *rows]) + "\n", encoding="utf-8")
    out = run("check", folder)[1]
    told = "A1 (row 5; read next at 100 cuts, row 4): hit the board"
    assert f"mishap, and no reading after it counts: {told}" in out
    assert "mishap, and it counts" not in out
