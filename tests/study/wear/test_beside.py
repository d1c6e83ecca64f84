"""Grades and widths in one log: both are answered, and whether they agree is told."""

import numpy as np
import pytest

from tests.wear.columns import codes

BLADES = {"A1": 1.0, "A2": 1.15, "A3": 0.9, "B1": 0.55, "B2": 0.65, "B3": 0.6}


def log(folder, *, dull_um=12.0, turned=False):
    """Widths of a wedge with pass and fail beside; `turned`: the checks say the opposite."""
    rng, rows = np.random.default_rng(3), ["blade,heat_treatment,cuts,edge_width_um,pass_fail"]
    for blade, wear in BLADES.items():
        felt = 0.6 / wear if turned else wear
        for cuts in range(0, 425, 25):
            width, by_hand = ((2.5**2 + w * cuts) ** 0.5 for w in (wear, felt))
            told = "pass" if by_hand < dull_um else "fail"
            noise = np.exp(0.02 * rng.standard_normal())
            rows.append(f"{blade},{blade[0]},{cuts},{width * noise:.3f},{told}")
    path = folder / "log.csv"
    path.write_text("\n".join(rows), encoding="utf-8")
    return path


@pytest.mark.parametrize("reading", ["edge_width_um", "pass_fail"])
def test_both_are_answered_and_agree(tmp_path, answer, reading):
    options = ("--limit", 12) if reading == "edge_width_um" else ()
    found = answer("compare", log(tmp_path), "--reading", reading, *options)
    if reading == "edge_width_um":
        assert found["beside"]["reading"] == "pass_fail"
        assert found["beside"]["agrees"]
        (told,) = [one["text"] for one in found["doubts"] if one["code"] == "readings_agree"]
        assert told.startswith("By pass and fail: B lasts")
        assert told.endswith("agrees with the answer by edge width.")
    else:  # nothing says to which width: there is no second answer
        assert found["beside"] is None


def test_readings_that_contradict_each_other_are_told(tmp_path):
    import edgetest as et

    found = et.compare(log(tmp_path, turned=True), limit=12, reading="edge_width_um")
    assert not found.beside.agrees
    assert "readings_disagree" in codes(found)
    assert "Decide which of them is dull" in found.words()


def test_grades_that_no_limit_ends_are_not_passed_over(tmp_path, answer):
    from edgetest.store.workspace import new_study

    blades = [{"id": blade, "heat_treatment": blade[0]} for blade in BLADES]
    study = new_study(
        tmp_path / "s", "sisal_rope", "two", blades=blades,
        heat_treatments=[{"id": "A"}, {"id": "B"}],
    )  # fmt: skip
    rows = log(tmp_path).read_text(encoding="utf-8").splitlines()
    cells = [row.split(",") for row in rows[1:]]
    graded = [",".join((b, n, w, "shaves" if p == "pass" else "will not bite"))
              for b, _, n, w, p in cells]  # fmt: skip
    text = "\n".join(["blade,cuts,edge_width_um,grade", *graded])
    (study.folder / "log.csv").write_text(text, encoding="utf-8")
    found = answer("compare", study.folder, "--reading", "edge_width_um", "--limit", 12)
    (told,) = [one["text"] for one in found["doubts"] if one["code"] == "grades_not_asked"]
    assert "'shaves'" in told
