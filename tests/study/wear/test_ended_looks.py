"""Whole studies with looks: every surface follows one rule of what a look is, also after the stop.

Lives and shop are invented.
"""

import re

import pytest

from tests.study.wear.surfaces import surfaces

SURFACES = ("text", "page", "document")
LOOKS = """
[plan.looks]
sizes = [3, 4, 5, 6]
levels = [0.992054, 0.986495, 0.980516, 0.974504]
constant = 2.23206
shape = 0.25
level = 0.95
"""
LIVES = {"S1": 300, "H1": 420, "S2": 340, "H2": 400, "S3": 310, "H3": 470, "S4": 330, "H4": 430,
         "S5": 320, "H5": 445, "S6": 450, "H6": 380, "S7": 325, "H7": 415}  # fmt: skip
TITLES = {"S": "Straw", "H": "Purple"}
NOT_PLANNED = "This is not one of the looks"


def study_of(tmp_path, *, shared=(), made="", most=6):
    """A study folder of billhooks; blades in `shared` came out of one batch."""
    lines = ['title = "Straw and purple"', 'protocol = "manila_rope"', "invented = true"]
    lines += [f'[[heat_treatments]]\nid = "{name}"\ntitle = "{title}"'
              for name, title in TITLES.items()]  # fmt: skip
    for blade in LIVES:
        batch = "shared" if blade in shared else blade
        lines.append(
            f'[[blades]]\nid = "{blade}"\nheat_treatment = "{blade[0]}"\nbatch = "{batch}"\n'
            'angle_per_side_deg = 15\nsteel = "bar 1"'
        )
    looks = LOOKS.replace("[3, 4, 5, 6]", str([3, 4, 5, 6][: most - 2]))
    looks = re.sub(r"levels = (.*)", f"levels = {[0.992, 0.9865, 0.98, 0.975][: most - 2]}", looks)
    folder = tmp_path / "one"
    folder.mkdir()
    text = "\n".join(lines) + looks + made
    (folder / "study.toml").write_text(text, encoding="utf-8")
    return folder


def cut(folder, *blades, lives=LIVES):
    """The log of these blades, in this order."""
    rows = [f"{blade},{lives[blade]}" for blade in blades]
    (folder / "log.csv").write_text("\n".join(["blade,life", *rows]) + "\n", encoding="utf-8")


def first(count):
    """The first so many blades of both sides, as they were cut."""
    return tuple(LIVES)[:count]


def codes(said):
    return {one["code"] for one in said["json"]["doubts"]}


def test_sides_of_unequal_size_are_one_look_on_every_surface(tmp_path, monkeypatch):
    folder = study_of(tmp_path)
    cut(folder, *first(10), "S7")
    said = surfaces(folder, tmp_path, monkeypatch)
    assert said["json"]["look"]["decision"] == "stop"
    which = "Look 3 of 4, at 5 on the smaller side: stop, the answer stands."
    for surface in SURFACES:
        assert which in said[surface]
        assert NOT_PLANNED not in said[surface]
        assert "Wait until" not in said[surface]
    assert not codes(said) & {"between_looks", "looks_not_of_blades"}
    assert said["json"]["practical"]["verdict"] == "longer"


def test_batches_that_count_once_are_told_of_the_side_that_shares_them(tmp_path, monkeypatch):
    folder = study_of(tmp_path, shared=("S3", "S4"))
    blades = [blade for blade in first(14) if blade not in ("S6", "H6")]
    cut(folder, *blades)
    said = surfaces(folder, tmp_path, monkeypatch)
    assert said["json"]["look"]["a_side"] == 5
    for surface in SURFACES:
        assert "at 5 batches on the smaller side: stop" in said[surface]
        assert "6 blades of Straw are 5 batches." in said[surface]
        assert "6 blades a side are" not in said[surface]
        assert "6 blades of Purple are" not in said[surface]
        assert NOT_PLANNED not in said[surface]
        assert "Cut on until there are so many" not in said[surface]


@pytest.mark.parametrize(
    ("shared", "noted"), [((), True), (("S3", "S4"), True), ((), False)]
)  # fmt: skip
def test_the_look_that_stopped_stays_the_answer_when_blades_are_cut_after_it(
    tmp_path, monkeypatch, answer, shared, noted
):
    folder = study_of(tmp_path, shared=shared)
    cut(folder, *first(10))
    then = answer("compare", folder, "--look")
    assert then["look"]["decision"] == "stop"
    toml = folder / "study.toml"
    text = toml.read_text(encoding="utf-8")
    assert '"H5"' in text.split("made = ")[1]  # the study knows the look by its blades
    if not noted:  # as a hand may write it
        size = then["look"]["a_side"]
        made = f'made = [{{size = {size}, decision = "stop"}}]'
        toml.write_text(text.split("made = ")[0] + made + "\n", encoding="utf-8")
    cut(folder, *first(10), "S6", "H6")  # these two turn it round
    said = surfaces(folder, tmp_path, monkeypatch)
    now = said["json"]
    assert now["ratio"] == then["ratio"]
    assert now["look"]["a_side"] == then["look"]["a_side"]
    assert now["headline"]["answer"] == then["headline"]["answer"]
    assert now["page_one"] == then["page_one"]
    assert [one["blades"] for one in now["groups"]] == [one["blades"] for one in then["groups"]]
    assert "look_answer_moved" not in codes(said)
    assert not codes(said) & {"excluded_rows", "blade_excluded"}  # nobody typed a reason
    for surface in SURFACES:
        assert "stop, the answer stands" in said[surface]
        assert "S6 and H6 came later: left out here, and deciding nothing." in said[surface]
        assert ("Which blades it had is not noted" in said[surface]) is not noted
    assert "not in the look at" in said["document"]  # the row of each later blade says why


def test_of_a_look_without_noted_blades_those_of_its_last_roll_count_too(tmp_path, answer):
    made = 'made = [{size = 3, decision = "stop"}]\n'
    folder = study_of(tmp_path, made=made)
    rolls = {"S1": 1, "H1": 1, "S2": 1, "H2": 1, "S3": 2, "H3": 2, "S4": 2, "H4": 3, "S5": 3}
    rows = [f"{blade},{LIVES[blade]},roll {roll}" for blade, roll in rolls.items()]
    (folder / "log.csv").write_text("\n".join(["blade,life,block", *rows]) + "\n", encoding="utf-8")
    groups = answer("compare", folder)["groups"]
    assert [one["blades"] for one in groups] == [["S1", "S2", "S3", "S4"], ["H1", "H2", "H3"]]


def test_a_look_noted_again_after_the_stop_adds_none(tmp_path, answer):
    folder = study_of(tmp_path)
    cut(folder, *first(10))
    answer("compare", folder, "--look")
    before = (folder / "study.toml").read_text(encoding="utf-8")
    cut(folder, *first(12))
    answer("compare", folder, "--look")
    assert (folder / "study.toml").read_text(encoding="utf-8") == before


def test_a_row_corrected_after_the_stop_is_told_beside_the_noted_ratio(tmp_path, answer):
    folder = study_of(tmp_path)
    cut(folder, *first(10))
    then = answer("compare", folder, "--look")
    cut(folder, *first(10), lives=LIVES | {"H1": 520})
    (told,) = [one for one in answer("compare", folder)["doubts"]
               if one["code"] == "look_answer_moved"]  # fmt: skip
    noted = re.search(r"lasts (.*?) times", then["summary"])[1]
    assert f"the study noted a ratio of {noted}; the same blades give 1.4" in told["text"]


def test_a_row_corrected_after_a_look_that_goes_on_is_told_too(tmp_path, answer):
    folder = study_of(tmp_path)
    cut(folder, *first(6))
    then = answer("compare", folder, "--look")
    assert then["look"]["decision"] in ("go_on", "futile")
    assert "look_answer_moved" not in {one["code"] for one in answer("compare", folder)["doubts"]}
    cut(folder, *first(6), lives=LIVES | {"H1": 520})
    said = {one["code"]: one["text"] for one in answer("compare", folder)["doubts"]}
    noted = re.search(r"lasts (.*?) times", then["summary"])[1]
    assert f"the study noted a ratio of {noted}; the same blades" in said["look_answer_moved"]
    cut(folder, *first(8), lives=LIVES | {"H1": 520})  # with another blade it is another look
    assert "look_answer_moved" not in {one["code"] for one in answer("compare", folder)["doubts"]}


def test_a_blade_left_out_since_leaves_the_look_that_ended_the_test(tmp_path, answer):
    folder = study_of(tmp_path)
    cut(folder, *first(8))
    assert answer("compare", folder, "--look")["look"]["number"] == 2
    rows = [f"{blade},{LIVES[blade]},{'cracked' if blade == 'S3' else ''}" for blade in first(10)]
    (folder / "log.csv").write_text(
        "\n".join(["blade,life,exclude", *rows]) + "\n", encoding="utf-8"
    )
    now = answer("compare", folder)
    assert (now["look"]["number"], now["look"]["a_side"]) == (2, 3)
    said = {one["code"]: one["text"] for one in now["doubts"]}
    assert "the study noted a ratio of" in said["look_answer_moved"]
    assert "S5 and H5 came later" in said["look_after_stop"]
    assert said["excluded_rows"].startswith(
        "1 reading is"
    )  # the one that somebody gave a reason for
    assert "cracked" in said["blade_excluded"]


def test_one_more_blade_after_a_look_that_goes_on_is_no_second_look(tmp_path, monkeypatch, answer):
    folder = study_of(tmp_path)
    near = LIVES | {"H1": 330, "H2": 360, "H3": 352}
    cut(folder, *first(6), lives=near)
    assert answer("compare", folder, "--look")["look"]["decision"] == "go_on"
    cut(folder, *first(6), "H4", lives=near | {"H4": 600})
    said = surfaces(folder, tmp_path, monkeypatch)
    assert said["json"]["look"]["decision"] == "between"
    assert said["json"]["practical"]["verdict"] == "cannot_tell"
    for surface in SURFACES:
        assert "was made already, without H4: this is no look of its own" in said[surface]
        assert "Go on to look 2 with 4 a side." in said[surface]
        assert "the answer stands" not in said[surface]
    assert "Wait until the smaller side has 4 blades." in said["text"]
    cut(folder, *first(8), lives=near)
    assert answer("compare", folder)["look"]["number"] == 2


def test_more_blades_than_the_last_look_has_claim_nothing(tmp_path, monkeypatch, run):
    folder = study_of(tmp_path, most=4)
    cut(folder, *first(10))
    said = surfaces(folder, tmp_path, monkeypatch)
    assert said["json"]["look"]["decision"] == "beyond"
    assert said["json"]["practical"]["verdict"] == "cannot_tell"
    for surface in SURFACES:
        assert "No look: 5 blades a side are more than the greatest number" in said[surface]
        assert "the answer stands" not in said[surface]
    code, _, err = run("compare", folder, "--look")
    assert (code, "5 blades a side are none of the looks" in err) == (2, True)


def test_a_look_of_a_blade_that_was_renamed_since_is_refused_in_one_line(run, tmp_path):
    made = f"""
[[plan.looks.made]]
size = 3
decision = "stop"
blades = {[*first(5), "S9"]}
answer = "1.36 (1.02 to 1.80)"
""".replace("'", '"')
    folder = study_of(tmp_path, made=made)
    cut(folder, *first(8))
    status, out, told = run("compare", folder)
    assert (status != 0, out) == (True, "")
    assert told.strip() == (
        "study.toml, plan.looks.made: the look at 3 a side was made of blades that the study does "
        "not know: S9; write there the names that these blades bear now"
    )
