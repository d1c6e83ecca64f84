"""`edgetest report`: the one way to a document, chosen by what a study holds."""

import json
import shutil

import pytest

from edgetest.report import letters
from tests.report.accessible import broken_rules
from tests.report.documents.pdf_pages import page_texts

ROPE = ("--protocol", "sisal_rope")


@pytest.fixture(scope="module")
def small(tmp_path_factory):
    """A study of two billets, without photographs and shapes."""
    place = tmp_path_factory.mktemp("small")
    (place / "study.toml").write_text(
        'title = "Small"\nprotocol = "billet_chop"\n[[blades]]\nid = "K1"\n', encoding="utf-8"
    )
    (place / "chops.csv").write_text(
        "blade,kind,order,chops,width_mm,thickness_mm,species,moisture_pct\n"
        "K1,billet,1,20,50,50,white ash,12\nK1,billet,2,22,50,50,white ash,12\n",
        encoding="utf-8",
    )
    return place


def names(folder):
    return sorted(path.name for path in folder.iterdir())


def test_a_chop_test_gets_the_sheet_of_the_tool_that_is_asked_for(small, answer, run, tmp_path):
    found = answer("report", small, "--blade", "K1", "--to", tmp_path / "d", "--units", "both",
                   "--reckon", "hazel 45")  # fmt: skip
    assert (found["about"], found["others"]) == ("chopper", [])
    assert names(tmp_path / "d") == ["chopper_K1.html", "chopper_K1.pdf"]
    assert [path.rpartition("/")[2] for path in found["files"]] == [
        "chopper_K1.pdf", "chopper_K1.html",
    ]  # fmt: skip
    assert "hazel" in " ".join(page_texts(tmp_path / "d" / "chopper_K1.pdf"))
    code, _, err = run("report", small, "--blade", "X", "--to", tmp_path / "x")
    assert (code, err) == (2, 'blade: "X" was not tested; known: K1\n')


@pytest.mark.usefixtures("untypeset")
def test_the_text_says_which_file_goes_to_the_customer(small, run, tmp_path):
    code, out, _ = run("report", small, "--to", tmp_path / "d")
    assert code == 0
    line = (
        "Hand to the customer: chopper_K1.pdf; the .html of the same name says the same in any "
        "browser."
    )
    assert line in out.splitlines()


def test_a_steel_with_a_trial_blade_gets_the_verdict_and_the_comparison_only_by_name(
    sample_run, run, answer, tmp_path
):
    discs = sample_run("plough_disc_study")
    code, out, _ = run("report", discs, "--to", tmp_path / "d", "--piece", "disc B")
    assert code == 0
    assert out.startswith("Piece disc B")
    assert names(tmp_path / "d") == ["verdict.html", "verdict.pdf"]
    assert str(tmp_path / "d" / "verdict.pdf") in out
    assert f"edgetest report {discs} --about comparison" in out
    assert "\nHand on: verdict.pdf; the .html of the same name says the same in" in out
    found = answer("report", discs, "--to", tmp_path / "c", "--about", "comparison")
    assert (found["about"], found["others"]) == ("comparison", ["steel"])
    assert names(tmp_path / "c") == [
        "comparison.html",
        "comparison.pdf",
        "comparison_photographs.csv",
    ]
    for document in (tmp_path / "d" / "verdict.pdf", tmp_path / "c" / "comparison.pdf"):
        assert broken_rules(document) == []


@pytest.mark.usefixtures("untypeset")
def test_a_study_of_cuts_and_chops_gets_what_its_protocol_is_for(small, answer, tmp_path):
    folder = tmp_path / "both"
    shutil.copytree(small, folder)
    rows = "".join(f"K1,{cuts},{2 + cuts / 25}\n" for cuts in (0, 25, 50, 100, 200))
    (folder / "log.csv").write_text(f"blade,cuts,edge_width_um\n{rows}", encoding="utf-8")
    found = answer("report", folder)
    assert (found["about"], found["others"]) == ("chopper", ["comparison"])
    assert names(folder / "documents") == ["chopper_K1.html", "chopper_K1.pdf"]
    text = (folder / "study.toml").read_text(encoding="utf-8")
    (folder / "study.toml").write_text(text.replace("billet_chop", "sisal_rope"), encoding="utf-8")
    found = answer("report", folder, "--to", tmp_path / "d")
    assert (found["about"], found["others"]) == ("comparison", ["chopper"])
    assert answer("report", folder, "--to", tmp_path / "d", "--about", "chopper")["files"]


@pytest.mark.parametrize(
    ("begun", "asked", "words"),
    [
        (("--steel-for", "knife"), (), "nothing was entered yet"),
        (("--steel-for", "knife"), ("--about", "comparison"), "no reading of a cut blade; enter"),
        ((*ROPE, "--blade", "A"), (), "log.csv: holds no reading of edge_width_um yet; fill in"),
        ((*ROPE, "--blade", "A"), ("--about", "steel"), "ask about comparison"),
        ((*ROPE, "--blade", "A"), ("--piece", "disc"), "--piece: the document about a comparison"),
        (
            ("--protocol", "billet_chop", "--blade", "A"),
            (),
            "chops.csv: nothing was chopped yet; fill in a row",
        ),
        (("--protocol", "billet_chop", "--blade", "A"), ("--limit", 12), "--limit: the document"),
    ],
)
def test_where_nothing_can_be_said_one_line_says_what_to_do(run, tmp_path, begun, asked, words):
    folder = tmp_path / "begun"
    assert run("new", folder, *begun)[0] == 0
    code, out, err = run("report", folder, *asked)
    assert (code, out, err.count("\n")) == (2, "", 1)
    assert words in err
    assert not (folder / "documents").exists()


def test_a_log_alone_is_told_how_to_become_a_study(run, tmp_path):
    (tmp_path / "log.csv").write_text("blade,life\nA,300\nB,400\n", encoding="utf-8")
    code, out, _ = run("report", tmp_path / "log.csv", "--json")
    (fault,) = json.loads(out)["fault"]
    assert code == 2
    assert "--from LOG" in fault["mend"]


def test_names_that_no_font_has_are_told_by_the_command_and_kept_for_browsers(
    small, run, answer, tmp_path, monkeypatch
):
    monkeypatch.setattr(letters, "_system_fonts", lambda: ())
    place = tmp_path / "study"
    shutil.copytree(small, place)
    for file in ("study.toml", "chops.csv"):
        words = (place / file).read_text("utf-8")
        (place / file).write_text(words.replace("K1", "鉈 1"), "utf-8")
    code, out, err = run("report", place, "--to", tmp_path / "d")
    assert (code, err) == (0, "")
    assert "No font on this machine has all letters of “鉈”" in out
    found = answer("report", place, "--to", tmp_path / "d")
    assert [(one["code"], one["where"]) for one in found["doubts"]] == [
        ("letters_without_font", {"value": "鉈"}),
    ]  # fmt: skip
    html, pdf = sorted((tmp_path / "d").iterdir())
    words = page_texts(pdf)[0]
    assert "[9248] 1" in words
    assert "[number]: letters" in words
    assert "鉈 1" in html.read_text("utf-8")
    assert answer("report", small, "--to", tmp_path / "x")["doubts"] == []
