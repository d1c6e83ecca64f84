"""Looks from the plan to the answer, as a maker uses them: `plan --looks`, `compare --look`."""

import re

import pytest

BLADES = [("S1", "soft"), ("H1", "hard"), ("S2", "soft"), ("H2", "hard"),
          ("S3", "soft"), ("H3", "hard"), ("S4", "soft"), ("H4", "hard")]  # fmt: skip
LIVES = {"S1": 300, "S2": 340, "S3": 310, "S4": 330, "H1": 420, "H2": 330, "H3": 470, "H4": 430}


@pytest.fixture
def study(tmp_path):
    """A study of eight blades whose noted lives (invented) are not in the log yet."""
    lines = ['title = "Straw and purple"', 'protocol = "manila_rope"', "invented = true"]
    lines += [f'[[heat_treatments]]\nid = "{name}"' for name in ("soft", "hard")]
    lines += [f'[[blades]]\nid = "{blade}"\nheat_treatment = "{name}"\nbatch = "{blade}"'
              for blade, name in BLADES]  # fmt: skip
    (tmp_path / "log.csv").write_text("blade,cuts,edge_width_um\n", encoding="utf-8")
    (tmp_path / "study.toml").write_text("\n".join(lines) + "\n# kept\n", encoding="utf-8")
    return tmp_path


def note_lives(folder, count):
    rows = [f"{blade},{LIVES[blade]}" for blade, _ in BLADES[:count]]
    (folder / "log.csv").write_text("\n".join(["blade,life", *rows]) + "\n", encoding="utf-8")


def plan(answer, study, *more):
    return answer("plan", study, "--ratio", 1.5, *more)


def test_a_plan_fixes_its_looks_and_says_what_they_save(study, answer):
    looks = plan(answer, study, "--looks", "--most", 8)["looks"]
    assert looks["sizes"] == [3, 4, 5, 6, 7, 8]
    assert looks["expected_blades"] < 11 < looks["most_blades"] == 16
    assert looks["expected_blades_alike"] < 12
    assert looks["power"] > 0.95
    text = (study / "study.toml").read_text(encoding="utf-8")
    assert "[plan.looks]" in text
    assert "# kept" in text


def test_compare_knows_its_look_and_the_study_remembers_only_looks_made(study, answer):
    plan(answer, study, "--looks", "--most", 4)
    note_lives(study, 6)
    first = answer("compare", study)
    assert first["look"]["number"] == 1
    assert first["look"]["made"] == []
    assert first["look"]["summary"] in first["headline"]["answer"]
    assert "made" not in (study / "study.toml").read_text(encoding="utf-8")
    looked = answer("compare", study, "--look")
    assert looked["ratio"] == first["ratio"]
    assert looked["look"]["decision"] == "go_on"
    blades = ["S1", "S2", "S3", "H1", "H2", "H3"]
    ratio = re.search(r"lasts (.*?) times", looked["summary"])[1]
    made = {"a_side": 3, "decision": "go_on", "blades": blades, "answer": ratio, "first": ""}
    answer("compare", study, "--look")  # the same look again is no further one
    note_lives(study, 8)
    second = answer("compare", study)
    assert second["look"]["number"] == 2
    assert second["look"]["made"] == [made]


def test_a_look_made_too_early_is_made_again_and_what_it_says_then_counts(study, answer, run):
    plan(answer, study, "--looks", "--most", 4)
    note_lives(study, 6)
    early = answer("compare", study, "--look")
    assert early["look"]["decision"] == "go_on"
    text = (study / "log.csv").read_text(encoding="utf-8").replace("H2,330", "H2,440")
    (study / "log.csv").write_text(text, encoding="utf-8")
    again = answer("compare", study, "--look")
    assert again["look"]["decision"] == "stop"
    rows = ["S4,330", "H4,330"]  # blades that would turn it round decide nothing any more
    (study / "log.csv").write_text(text + "\n".join(rows) + "\n", encoding="utf-8")
    later = answer("compare", study)
    assert later["ratio"] == again["ratio"]
    (made,) = later["look"]["made"]
    first = re.search(r"lasts (.*?) times", early["summary"])[1]
    assert (made["decision"], made["first"]) == ("stop", first)
    said = {one["code"]: one["text"] for one in later["doubts"]}
    assert f"the study noted a ratio of {first}" in said["look_answer_moved"]
    assert "changed in study.toml by hand stands in none" in said["look_answer_moved"]
    answer("compare", study, "--look")
    assert answer("compare", study)["look"]["made"] == [made]


def test_a_look_at_which_nothing_is_known_is_not_noted(study, answer, run):
    plan(answer, study, "--looks", "--most", 4)
    rows = [f"{blade},>{LIVES[blade]}" for blade, _ in BLADES[:6]]
    (study / "log.csv").write_text("\n".join(["blade,life", *rows]) + "\n", encoding="utf-8")
    code, _, err = run("compare", study, "--look")
    assert code == 2
    assert "yet, so no look was made" in err
    assert "made" not in (study / "study.toml").read_text(encoding="utf-8")


def test_the_greatest_number_stays_once_a_look_was_made(study, answer, run):
    plan(answer, study, "--looks", "--most", 4)
    note_lives(study, 6)
    answer("compare", study, "--look")
    code, _, err = run("plan", study, "--looks", "--most", 8)
    assert code == 2
    assert "plan.looks" in err
    assert "keep to it" in err
    plan(answer, study)  # a plan without looks leaves those that were begun
    assert answer("compare", study)["look"]["of"] == 2


def test_a_fixed_plan_read_early_says_what_that_costs(study, answer):
    plan(answer, study)
    note_lives(study, 6)
    early = answer("compare", study)
    said = [one for one in early["doubts"] if one["code"] == "read_early"]
    assert "20 in 100" in said[0]["text"]
    assert said[0]["where"]["value"] == 3
    note_lives(study, 8)
    assert "read_early" not in {one["code"] for one in answer("compare", study)["doubts"]}


def test_refuses_a_look_that_was_not_planned_and_looks_that_are_none(study, answer, run):
    note_lives(study, 6)
    code, _, err = run("compare", study, "--look")
    assert (code, "plan them first" in err) == (2, True)
    code, _, err = run("plan", study, "--looks", "--most", 3)
    assert (code, "give 4 to 40" in err) == (2, True)
    plan(answer, study, "--looks", "--most", 4)
    note_lives(study, 4)
    code, _, err = run("compare", study, "--look")
    assert (code, "the first look is at 3 a side" in err) == (2, True)
    text = (study / "study.toml").read_text(encoding="utf-8").replace("constant", "konstant")
    (study / "study.toml").write_text(text, encoding="utf-8")
    code, _, err = run("compare", study)
    assert (code, "put them back" in err) == (2, True)


@pytest.mark.parametrize("more", [(), ("--anew",)])
def test_a_later_plan_keeps_the_looks_and_says_so(study, answer, run, more):
    plan(answer, study, "--looks", "--most", 4)
    before = (study / "study.toml").read_text(encoding="utf-8").split("[plan.looks]")[1]
    code, out, _ = run("plan", study, "--ratio", 1.5, *more)
    assert code == 0
    assert "The looks fixed before stay, at 3 and 4 blades a side." in out
    assert (study / "study.toml").read_text(encoding="utf-8").split("[plan.looks]")[1] == before
    _, out, _ = run("plan", study, "--ratio", 1.5, "--looks", "--most", 5)
    assert "looks fixed before" not in out
