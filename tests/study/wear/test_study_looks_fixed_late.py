"""Looks that are fixed once blades were cut: a comparison read before that is a look too."""

import json

import pytest

from edgetest.store.records import load_study
from tests.study.wear.test_ended_looks import cut, first, study_of

MADE = """
[[plan.looks.made]]
size = 3
decision = "go_on"
blades = ["S1", "H1", "S2", "H2", "S3", "H3"]
answer = "1.36 (1.02 to 1.80)"
"""
PLAN = ("--looks", "--most", "4", "--ratio", "1.3", "--sd", "0.15")


def codes(run, folder):
    status, out, _ = run("compare", folder, "--json")
    assert status == 0
    return {one["code"]: one["text"] for one in json.loads(out)["doubts"]}


def without_looks(folder):
    path = folder / "study.toml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text[: text.index("[plan.looks]")], encoding="utf-8")


def test_looks_fixed_after_two_blades_a_side_were_cut_say_so(run, tmp_path):
    folder = study_of(tmp_path)
    without_looks(folder)
    cut(folder, *first(4))
    status, _, told = run("plan", folder, *PLAN)
    assert (status, load_study(folder).plan["looks"]["cut_before"]) == (0, 2), told
    cut(folder, *first(8))
    said = codes(run, folder)["looks_fixed_late"]
    assert said.startswith("These looks were fixed when 2 blades of each heat treatment had been")


def test_looks_begin_where_the_blades_are_that_were_cut(run, tmp_path):
    folder = study_of(tmp_path)
    without_looks(folder)
    cut(folder, *first(8))
    later = ("plan", folder, "--looks", "--most", "6", "--ratio", "1.3", "--sd", "0.15")
    for _ in range(2):  # a later plan keeps them
        status, out, told = run(*later)
        assert status == 0, told
        assert load_study(folder).plan["looks"]["sizes"] == [4, 5, 6]
        assert "Looks at 4, 5 and 6 blades a side" in out
        assert "look at 3" not in out.lower()


def test_looks_that_would_all_be_past_are_refused_in_one_line(run, tmp_path):
    folder = study_of(tmp_path)
    without_looks(folder)
    cut(folder, *first(8))
    status, _, told = run("plan", folder, *PLAN)
    assert status == 2
    assert "4 blades a side at most, where 4 are cut already; give 5 to " in told


@pytest.mark.parametrize("most", ["4", "5"])
def test_looks_fixed_anew_before_one_was_made_stay_late(run, tmp_path, most):
    folder = study_of(tmp_path)
    without_looks(folder)
    cut(folder, *first(4))
    for again in ("4", most):
        status, _, told = run("plan", folder, *PLAN[:2], again, *PLAN[3:])
        assert status == 0, told
    assert load_study(folder).plan["looks"]["cut_before"] == 2
    cut(folder, *first(8))
    assert "looks_fixed_late" in codes(run, folder)


def test_looks_fixed_before_the_first_pair_was_cut_say_nothing(run, tmp_path):
    folder = study_of(tmp_path)
    without_looks(folder)
    cut(folder, *first(2))
    status, _, told = run("plan", folder, *PLAN)
    assert (status, load_study(folder).plan["looks"].get("cut_before")) == (0, 1), told
    cut(folder, *first(8))
    assert "looks_fixed_late" not in codes(run, folder)


def test_a_later_plan_keeps_which_blades_a_look_had(run, tmp_path):
    folder = study_of(tmp_path, most=4, made=MADE)
    cut(folder, *first(6))
    status, _, told = run("plan", folder, "--ratio", "1.3", "--sd", "0.15")
    assert status == 0, told
    (made,) = load_study(folder).plan["looks"]["made"]
    assert made["blades"] == ["S1", "H1", "S2", "H2", "S3", "H3"]
    assert made["answer"] == "1.36 (1.02 to 1.80)"


@pytest.mark.parametrize(("tested", "told"), [(4, True), (2, False)])
def test_blades_that_are_added_once_a_comparison_could_be_read_say_so(run, tmp_path, tested, told):
    folder = study_of(tmp_path)
    without_looks(folder)
    text = (folder / "study.toml").read_text(encoding="utf-8")
    order = ", ".join(f'["", "{name}"]' for name in first(tested))
    (folder / "study.toml").write_text(f"{text}\n[plan]\norder = [{order}]\n", encoding="utf-8")
    cut(folder, *first(tested))
    status, _, fault = run("plan", folder, "--anew", "--ratio", "1.3", "--sd", "0.15")
    assert status == 0, fault
    cut(folder, *first(8))
    said = codes(run, folder)
    assert ("blades_added_late" in said) is told
    if told:
        page = json.loads(run("compare", folder, "--json")[1])["page_one"]["plain"]
        assert "1 of 20" not in page
        assert said["blades_added_late"].startswith(f"Blades were added when {tested // 2} of each")
        run("plan", folder, "--anew", "--ratio", "1.3", "--sd", "0.15")
        assert load_study(folder).plan["added_after"] == tested // 2


@pytest.mark.parametrize("typed", ['"two"', "-3", "2.7", "true"])
def test_blades_added_after_what_is_no_number_are_refused_with_the_mend(run, tmp_path, typed):
    folder = study_of(tmp_path)
    without_looks(folder)
    path = folder / "study.toml"
    order = ", ".join(f'["", "{name}"]' for name in first(4))
    plan = f"\n[plan]\norder = [{order}]\nadded_after = {typed}\n"
    path.write_text(path.read_text(encoding="utf-8") + plan, encoding="utf-8")
    cut(folder, *first(8))
    for asked in (("compare",), ("plan", "--anew", "--ratio", "1.3", "--sd", "0.15")):
        status, _, told = run(asked[0], folder, *asked[1:])
        *before, line = told.splitlines()
        assert (status, [one for one in before if "plan" in one]) == (2, []), asked
        assert f"study.toml, plan.added_after: {typed} is no" in line
        assert "write how many blades of each heat treatment had been cut" in line
