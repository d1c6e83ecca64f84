"""A limit is called usual only where a source says so; else how to choose one is told."""

import pytest

from edgetest.study.wear.usual_limits import usual_limit


@pytest.mark.parametrize(
    ("reading", "said", "source"),
    [
        ("edge_width_um", "10 µm is called dull", "2018"),
        ("sever_force_gf", "twice what your own fresh edges read", "a maker's forum"),
        ("rope_force_n", "no published source names a usual one", "common practice, no source"),
    ],
)
def test_what_is_usual_names_its_source(reading, said, source):
    assert said in usual_limit(reading)
    assert source in usual_limit(reading)


def test_a_comparison_without_a_limit_tells_how_to_choose_one(answer, tmp_path):
    rows = [f"{b},{t},{cuts},{100 + cuts}" for b, t in (("A", "x"), ("B", "y"))
            for cuts in (0, 50, 100, 200)]  # fmt: skip
    log = tmp_path / "log.csv"
    log.write_text("\n".join(["blade,heat_treatment,cuts,sever_force_gf", *rows]) + "\n", "utf-8")
    told = answer("compare", log)
    assert any("twice what your own fresh edges read" in one["text"] for one in told["warnings"])
