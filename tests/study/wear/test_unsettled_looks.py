"""A look at which page one takes no answer says go on, on every surface; and an end is told early.

Lives and shop are invented.
"""

import json
import re
from dataclasses import replace

import pytest

from edgetest.study.sources import open_source
from edgetest.study.wear.alternative_answers import Alternative, finding_of
from edgetest.study.wear.choice import CANNOT
from edgetest.study.wear.page_one import page_one
from edgetest.study.wear.unsettled_looks import with_look_unsettled
from edgetest.study.wear.wear_answer import comparison_of
from tests.study.wear.logs_of_wedges import wedge_log
from tests.study.wear.surfaces import surfaces
from tests.study.wear.test_ended_looks import LOOKS, SURFACES, cut, first, study_of

STEPS = 'steps = [{ kind = "temper", temperature_c = %s }]'
ALIKE = "Look 3 of 4, at 5 a side: go on to look 4 with 6 a side."
THE_LAW = "it hangs on the law of wear, which no reading so far tells: "


def steps_noted(folder, soft, hard):
    """Note at which temperature each heat treatment was tempered, and nothing else of it."""
    path = folder / "study.toml"
    kept = [line for line in path.read_text(encoding="utf-8").splitlines() if "steps" not in line]
    told = {'title = "Straw"': soft, 'title = "Purple"': hard}
    lines = [f"{line}\n{STEPS % told[line]}" if line in told else line for line in kept]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")


def test_what_is_to_be_settled_first_stops_no_look_on_any_surface(tmp_path, monkeypatch):
    folder = study_of(tmp_path)
    steps_noted(folder, 200, 200)
    cut(folder, *first(10))
    said = surfaces(folder, tmp_path, monkeypatch)
    assert said["json"]["page_one"]["choice"] == f"{CANNOT}: settle first what is said below."
    assert said["json"]["look"]["decision"] == "go_on"
    for surface in SURFACES:
        assert ALIKE in said[surface]
        assert "stop, the answer stands" not in said[surface]


def test_a_look_is_noted_anew_once_what_it_hung_on_is_settled(tmp_path, answer):
    folder = study_of(tmp_path)
    steps_noted(folder, 200, 200)
    cut(folder, *first(10))
    unsettled = answer("compare", folder, "--look")
    steps_noted(folder, 200, 240)
    settled = answer("compare", folder, "--look")
    assert settled["ratio"] == unsettled["ratio"]
    decisions = [found["look"]["decision"] for found in (unsettled, settled)]
    assert decisions == ["go_on", "stop"]
    (made,) = answer("compare", folder)["look"]["made"]
    assert (made["decision"], made["first"]) == ("stop", "")


def hanging(result):
    """The same answer, hanging on the law of wear."""
    given = finding_of(result.comparison)
    other = replace(given, verdict="cannot_tell")
    about = result.doubts[0]
    hangs = Alternative("the law of wear", given, other, about)
    return replace(result, compared=replace(result.compared, alternatives=(hangs,)))


@pytest.mark.parametrize(
    ("blades", "made", "decision"),
    [
        (10, "", "go_on"),
        (12, "", "end"),
        (10, 'made = [{size = 5, decision = "stop"}]\n', "end"),
        (4, "", "before"),
    ],
)
def test_a_verdict_that_hangs_on_the_law_stops_no_look(tmp_path, blades, made, decision):
    folder = study_of(tmp_path, made=made)
    alike = ("S5", "H5", "S7", "H7")
    cut(folder, *first(8), *alike[: blades - 8]) if blades > 8 else cut(folder, *first(blades))
    result = comparison_of(open_source(folder))
    assert result.comparison.look.decision == ("before" if decision == "before" else "stop")
    found = with_look_unsettled(hanging(result))
    assert found.comparison.look.decision == decision
    answer = found.headline.answer
    assert answer[0] == "Not settled: the answer hangs on the law of wear."
    assert answer[-1] == found.comparison.look.summary()
    choice = page_one(found).choice
    if decision == "go_on":
        then = "read the next blades at more stages about the limit, where no law is needed; "
        assert choice == f"{CANNOT}: {THE_LAW}{then}go on to the next look."
    if decision == "end":
        assert "the test ends here without an answer" in answer[-1]
        then = "test new blades in a new study, read at more stages about the limit"
        assert choice == f"{CANNOT}: {THE_LAW}its looks are over, so {then}."


def test_a_test_that_a_look_ended_never_goes_on_to_another(tmp_path, answer):
    folder = study_of(tmp_path)
    cut(folder, *first(10))
    assert answer("compare", folder, "--look")["look"]["decision"] == "stop"
    log = folder / "log.csv"
    log.write_text(log.read_text(encoding="utf-8").replace("H2,400", "H2,250"), encoding="utf-8")
    now = answer("compare", folder)
    assert now["practical"]["verdict"] == "cannot_tell"
    assert now["look"]["decision"] == "end"
    assert "go on" not in now["summary"]
    assert "go on" not in now["page_one"]["choice"]


OVER = "This test ended at the look with 5 a side: no blade cut from now on counts in it."


def test_plan_and_enter_say_that_the_test_is_over_before_its_roll_is_cut(tmp_path, run):
    folder = study_of(tmp_path)
    cut(folder, *first(10))
    plan = ("plan", folder, "--ratio", "1.3", "--sd", "0.15", "--dry-run")
    assert OVER not in run(*plan)[1]
    assert run("compare", folder, "--look")[0] == 0
    for more in ((), ("--anew",), ("--anew", "--blocks", "roll 4"), ("--looks", "--most", "6")):
        said = run(*plan, *more)[1]
        assert said.startswith(f"{OVER} Test new blades in a new study.\n"), more
        assert "looks fixed before stay" not in said
    told = json.loads(run(*plan, "--json")[1])["doubts"]
    assert [one["gravity"] for one in told if one["code"] == "test_ended"] == ["decides"]
    assert OVER in run("enter", folder, "blade=S7", "life=300")[1]
    assert OVER in run("enter", folder, "blade=S7", "block=roll 9", "life=300")[1]
    assert OVER not in run("enter", folder, "blade=S1", "life=310", "--replace")[1]


def three_treatments(tmp_path, lives):
    """A study of three heat treatments with looks, and its log of lives."""
    lines = ['title = "Straw, purple and blue"', 'protocol = "manila_rope"', "invented = true"]
    for name, title in (("S", "Straw"), ("H", "Purple"), ("B", "Blue")):
        lines.append(f'[[heat_treatments]]\nid = "{name}"\ntitle = "{title}"')
    for blade in lives:
        lines.append(
            f'[[blades]]\nid = "{blade}"\nheat_treatment = "{blade[0]}"\nbatch = "{blade}"\n'
            'angle_per_side_deg = 15\nsteel = "bar 1"'
        )
    folder = tmp_path / "three"
    folder.mkdir()
    (folder / "study.toml").write_text("\n".join(lines) + LOOKS, encoding="utf-8")
    cut(folder, *lives, lives=lives)
    return folder


def lives_of_three(count, *middles):
    """So many lives of each heat treatment about its middle."""
    return {f"{name}{i}": round(middle * (1 + 0.02 * (-1) ** i))
            for i in range(count) for name, middle in zip("SHB", middles, strict=True)}  # fmt: skip


@pytest.mark.parametrize(
    ("count", "decision", "then"),
    [(4, "go_on", "go on to the next look"), (6, "end", "its looks gave no answer")],
)
def test_of_several_heat_treatments_a_look_stops_where_one_alone_is_left(
    tmp_path, monkeypatch, count, decision, then
):
    folder = three_treatments(tmp_path, lives_of_three(count, 150, 400, 402))
    said = surfaces(folder, tmp_path, monkeypatch)
    choice = f"{CANNOT}: it leaves Blue and Purple; {then}."
    assert (
        said["json"]["page_one"]["choice"].replace("Purple and Blue", "Blue and Purple") == choice
    )
    assert said["json"]["look"]["decision"] == decision
    assert {one["ratio"]["level"] for one in said["json"]["pairs"]} == {0.95}
    for surface in SURFACES:
        assert "stop, the answer stands" not in said[surface]
        assert not re.search(r"(?<!95) % interval over all 4 looks", said[surface])


def test_of_several_heat_treatments_a_look_stops_where_one_outlasts_all(tmp_path, answer):
    found = answer("compare", three_treatments(tmp_path, lives_of_three(4, 150, 400, 240)))
    assert found["page_one"]["choice"].startswith("For an edge that lasts, take Purple")
    assert found["look"]["decision"] == "stop"


SCATTER = {"S": (60, 75, 48), "H": (55, 90, 70)}  # lives without a difference that shows, invented


def half_cut(folder, *, upto):
    """A log of six worn wedges; of H2 and S2 the stages beyond `upto` are not cut yet."""
    lives = {(name, f"{name}{i}"): life for name, all_ in SCATTER.items()
             for i, life in enumerate(all_)}  # fmt: skip
    lines = []
    for line in wedge_log(lives, {"S": 2.4, "H": 2.4}, cv=0.03).splitlines():
        blade, _, cuts, width = line.split(",")
        late = blade in ("S2", "H2") and float(cuts) > upto
        lines.append(f"{blade},{cuts},{'' if late else width}")
    (folder / "log.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")


def test_the_last_look_comes_too_early_while_its_blades_wait_and_then_counts(tmp_path, run, answer):
    folder = study_of(tmp_path, most=3)
    text = (folder / "study.toml").read_text(encoding="utf-8").replace('id = "S1"', 'id = "S0"')
    blades = 'id = "H1"', 'id = "H0"'
    text = text.replace(*blades).replace('id = "S3"', 'id = "S1"').replace('id = "H3"', 'id = "H1"')
    (folder / "study.toml").write_text(f"limit = 8.0\n{text}", encoding="utf-8")
    half_cut(folder, upto=10)
    early = answer("compare", folder, "--look")["look"]
    assert early["decision"] == "early"
    assert "comes too early: S2, H2 wait to be cut on. Cut on, and look again." in early["summary"]
    assert "made" not in (folder / "study.toml").read_text(encoding="utf-8")
    half_cut(folder, upto=200)
    assert answer("compare", folder, "--look")["look"]["decision"] == "end"
    (made,) = answer("compare", folder)["look"]["made"]
    assert made["decision"] == "end"


def test_a_look_that_ended_without_an_answer_is_made_again_once_its_blades_are_cut_on(
    tmp_path, answer
):
    alike = 'made = [{size = 5, decision = "end", answer = "1.1 (0.8 to 1.5)", blades = %s}]\n'
    folder = study_of(tmp_path, made=alike % json.dumps(list(first(10))))
    cut(folder, *first(10))
    assert answer("compare", folder, "--look")["look"]["decision"] == "stop"
    (made,) = answer("compare", folder)["look"]["made"]
    assert (made["decision"], made["first"]) == ("stop", "1.1 (0.8 to 1.5)")
