"""A plan takes how long the blades of its own log lasted, where their lives are known."""

import json

import pytest
from numpy.testing import assert_allclose

from edgetest.study.sources import open_source
from edgetest.study.wear.measured_life import measured_life
from tests.study.wear.logs_of_wedges import log_of, wedge_log

LIVES = {("soft", "S1"): 120, ("soft", "S2"): 150, ("hard", "H1"): 190}


def lasted(tmp_path, lives=LIVES, *, limit=12.0, add=""):
    text = wedge_log(lives, {"soft": 3.0, "hard": 3.0}, cv=0.002)
    source = open_source(log_of(tmp_path, text + add))
    return measured_life(source, "edge_width_um", limit)


def test_the_geometric_mean_of_the_lives_that_are_known(tmp_path):
    found = lasted(tmp_path)
    assert found.blades == 3
    assert_allclose(found.cuts, (120 * 150 * 190) ** (1 / 3), rtol=0.02)


@pytest.mark.parametrize(
    ("more", "lives"),
    [({}, {("soft", "S1"): 120}), ({"limit": 40.0}, LIVES), ({"limit": None}, LIVES)],
    ids=["one blade", "beyond the last stage", "no limit"],
)
def test_too_few_known_lives_tell_nothing(tmp_path, more, lives):
    assert lasted(tmp_path, lives, **more) is None


def test_a_log_with_fresh_edges_alone_tells_nothing(tmp_path):
    path = log_of(tmp_path, "blade,cuts,edge_width_um\nA,0,3\nB,0,3.1\n")
    assert measured_life(open_source(path), "edge_width_um", 12.0) is None


@pytest.fixture
def study(tmp_path):
    """Two blades a side read by hand to the limit, and one row that a photograph is to read."""
    folder = tmp_path / "study"
    folder.mkdir()
    text = ['title = "Straw and purple"', 'protocol = "manila_rope"', "invented = true"]
    text += ["limit = 12", *(f'[[heat_treatments]]\nid = "{name}"' for name in ("soft", "hard"))]
    text += [f'[[blades]]\nid = "{blade}"\nheat_treatment = "{treatment}"'
             for treatment, blade in (*LIVES, ("hard", "H2"))]  # fmt: skip
    (folder / "study.toml").write_text("\n".join(text), encoding="utf-8")
    head, *rows = wedge_log(LIVES, {"soft": 3.0, "hard": 3.0}, cv=0.002).splitlines()
    rows = [f"{row}," for row in rows] + ["H2,hard,0,,H2_fresh.jpg"]
    (folder / "log.csv").write_text("\n".join([f"{head},photo", *rows]) + "\n", encoding="utf-8")
    return folder


def test_a_photograph_that_is_missing_is_named_and_the_typed_lives_stand(run, study):
    status, told, fault = run("plan", study, "--dry-run", "--json")
    assert status == 0, fault
    found = json.loads(told)
    assert found["life"] == pytest.approx((120 * 150 * 190) ** (1 / 3), rel=0.02)
    (missing,) = [one["text"] for one in found["doubts"] if one["code"] == "photograph_missing"]
    assert missing == (
        "1 photograph named in the log cannot be found in the folder photos: H2_fresh.jpg."
    )
    said = run("plan", study, "--dry-run")[1]
    assert (
        "cuts, as the 3 blades of this log did whose lives are known (geometric mean) by readings "
        "that were typed: none is taken from a photograph here."
    ) in said
    assert missing in said


def test_of_many_missing_photographs_the_first_are_named(run, study):
    rows = [f"H2,hard,{cuts},,H2_{cuts}.jpg" for cuts in range(1, 9)]
    with (study / "log.csv").open("a", encoding="utf-8") as log:
        log.write("\n".join(rows) + "\n")
    said = run("compare", study)[1]
    names = ", ".join(f"H2_{cuts}.jpg" for cuts in range(1, 6))
    assert f"in the folder photos: H2_fresh.jpg, {names} and 3 more." in said
