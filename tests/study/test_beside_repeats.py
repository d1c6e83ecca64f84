"""One repeat far from its fellows is asked about, whatever the curves make of its stage."""

import numpy as np
import pytest

from edgetest.store.logs import read_log
from edgetest.study.beside_repeats import beside_repeats

HEAD = "blade,block,cuts,check_no,sever_force_gf,exclude"
STAGES = (0, 25, 50, 100, 200, 400)


def log(tmp_path, changed=None, *, repeats=5, sd=0.045, seed=3):
    """A log of two blades with repeats that scatter, some of them written otherwise."""
    rng = np.random.default_rng(seed)
    lines = [HEAD]
    for blade in "AB":
        for cuts in STAGES:
            for check in range(1, repeats + 1):
                force = (200 + cuts) * np.exp(sd * rng.standard_normal())
                key = f"{blade},{cuts},{check}"
                cells = (changed or {}).get(key, f"{force:.0f},")
                lines.append(f"{blade},r,{cuts},{check},{cells}")
    path = tmp_path / "log.csv"
    path.write_text("\n".join(lines) + "\n", "utf-8")
    return path


def told(path, only=None):
    return [str(one) for one in beside_repeats("log.csv", read_log(path).rows, only)]


def test_a_repeat_far_from_its_fellows_is_asked_about_alone(tmp_path, run):
    """Four readings about 600 tell of a fifth at 830 without any curve."""
    path = log(tmp_path, {"A,400,2": "830,"})
    (one,) = told(path)
    assert "row 28, sever_force_gf: 830, where the others of this stage and place are about" in one
    code, out, _ = run("check", path)
    assert code == 0
    assert out.count("row 28, sever_force_gf") == 1
    assert told(path, 28) == [one]
    assert told(path, 27) == []


def test_of_three_the_one_is_asked_about_that_two_near_each_other_speak_against(tmp_path):
    readings = {"A,200,1": "341,", "A,200,2": "233,", "A,200,3": "349,"}
    (one,) = told(log(tmp_path, readings, repeats=3))
    assert (
        "row 15, sever_force_gf: 233, where the others of this stage and place are about 345" in one
    )


def test_two_that_were_typed_for_one_another_are_both_asked_about(tmp_path):
    asked = told(log(tmp_path, {"A,400,2": "205,", "B,0,2": "601,"}))
    assert [one.partition(",")[2].split(",")[0] for one in asked] == [" row 28", " row 33"]


@pytest.mark.parametrize("repeats", [3, 5])
@pytest.mark.parametrize("seed", range(20))
def test_repeats_that_scatter_as_they_do_are_not_asked_about(tmp_path, seed, repeats):
    assert told(log(tmp_path, seed=seed, repeats=repeats)) == []


@pytest.mark.parametrize(
    ("changed", "how"),
    [
        ({"A,400,2": "830,slip"}, {}),  # it was looked at, and does not count
        ({"A,400,2": ">830,"}, {}),
        ({"A,400,2": "830,"}, {"repeats": 2}),  # too few beside it
        ({"A,400,1": "600,", "A,400,2": "900,", "A,400,3": "700,"}, {"repeats": 3}),  # none agree
        ({"A,400,2": "670,"}, {"sd": 0.0}),  # the others agree to the digit
    ],
)
def test_what_no_repeat_can_tell_is_not_asked(tmp_path, changed, how):
    assert told(log(tmp_path, changed, **how)) == []
