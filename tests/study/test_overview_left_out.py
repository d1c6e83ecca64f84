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
