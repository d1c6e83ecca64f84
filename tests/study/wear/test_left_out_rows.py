"""Are rows left out and mishaps told of their blades, by the check, the answer and the document?"""

import pytest

from edgetest.store.workspace import new_study
from tests.report.documents.pdf_pages import page_texts
from tests.study.wear.logs_of_wedges import wedge_log

pytestmark = pytest.mark.usefixtures("blank_figures")  # words are read

BLADES = ("S1", "S2", "S3", "H1", "H2", "H3")
LIVES = {(blade[0], blade): life
         for blade, life in zip(BLADES, (98, 105, 101, 131, 138, 128), strict=True)}  # fmt: skip
CLAMP, BENT = "struck the clamp", "rope slipped"


@pytest.fixture
def said(tmp_path, run):
    """What a command says of a study some of whose rows are left out, or had a mishap."""

    def say(verb, *options, out=lambda blade, cuts: False, mishap=lambda blade, cuts: False,
            more=()):  # fmt: skip
        study = new_study(
            tmp_path / str(len(list(tmp_path.iterdir()))), "sisal_rope", "Two tempers",
            blades=[{"id": blade, "heat_treatment": blade[0]} for blade in BLADES],
            heat_treatments=[{"id": "S"}, {"id": "H"}],
        )  # fmt: skip
        lines = ["blade,cuts,edge_width_um,mishap,exclude"]
        for row in wedge_log(LIVES, {"S": 2.4, "H": 2.4}).splitlines()[1:]:
            blade, _, cuts, width = row.split(",")
            at = (blade, int(cuts))
            words = (BENT if mishap(*at) else "", CLAMP if out(*at) else "")
            lines.append(",".join((blade, cuts, width, *words)))
        (study.folder / "log.csv").write_text("\n".join((*lines, *more)) + "\n", encoding="utf-8")
        toml = study.folder / "study.toml"
        head = 'reading = "edge_width_um"\nlimit = 12.0\n'
        toml.write_text(head + toml.read_text(encoding="utf-8"), encoding="utf-8")
        code, text, err = run(verb, study.folder, *options)
        assert code == 0, err
        return text

    return say


def test_a_check_names_a_blade_and_its_reason_once(said):
    text = said("check", out=lambda blade, cuts: blade == "S2" or (blade, cuts) == ("H1", 10))
    assert f"left out: S2, whole (6 rows, 8 to 13): {CLAMP}\n" in text
    assert f"left out: H1 (row 21): {CLAMP}\n" in text
    assert sum(line.startswith("left out:") for line in text.splitlines()) == 2


def test_a_check_tells_departures_while_rows_wait(said):
    text = said("check", more=("S1,300,,,", "S2,300,,,"))
    assert "2 rows still wait to be filled in; of what was read so far:" in text
    assert "control blade: the protocol asks for a control blade" in text
    assert text.endswith("No fault found.\n")


@pytest.mark.parametrize("verb", ["check", "compare"])
def test_a_mishap_in_a_row_that_counts_is_told(verb, said):
    text = said(
        verb,
        mishap=lambda blade, cuts: blade in ("H2", "S2") and cuts == 50,
        out=lambda blade, cuts: blade == "S2" and cuts == 50,
    )
    assert f"H2 (row 29): {BENT}" in text
    assert text.count(BENT) == 1  # the mishap of a row that is left out spoils nothing


def test_an_answer_names_a_blade_that_is_left_out_whole(said):
    text = said("compare", out=lambda blade, cuts: blade == "S2")
    told = "S2: Every reading of this blade is left out, so the answer knows nothing of it. "
    assert f"{told}The reason given: {CLAMP}." in text


def test_no_blade_is_told_to_be_cut_on_where_its_later_readings_are_left_out(said):
    text = said("compare", out=lambda blade, cuts: blade == "S2" and cuts > 25)
    assert "S2: The later readings of this blade are left out, so it counts as" in text
    assert "rests on the wear law alone" not in text  # one answer for one blade, not two
    assert "so it is missing where readings are compared at equal cuts" in text
    assert "Cut on until" not in text
    assert "Cut it" not in text
    bound = said("compare", out=lambda blade, cuts: blade == "S2" and cuts > 10)
    assert "left out, so it counts as 'lasts at least so long'" in bound
    assert "Cut it" not in bound


def test_the_document_names_the_blade_on_page_one_and_among_the_lives(said, tmp_path):

    def pages(**log):
        said("report", "--to", tmp_path / "out", **log)
        return [" ".join(page.split()) for page in page_texts(tmp_path / "out" / "comparison.pdf")]

    first, *others = pages(out=lambda blade, cuts: blade == "S2")
    assert "S2: Every reading of this blade is left out" in first
    assert f"S2 – – – left out: {CLAMP}" in " ".join(others)
    assert "a cross is left out" not in " ".join(others)


def test_a_caption_tells_of_crosses_where_one_is_drawn(said, tmp_path):
    said("report", "--to", tmp_path / "out", out=lambda blade, cuts: (blade, cuts) == ("S2", 50))
    read = page_texts(tmp_path / "out" / "comparison.pdf")
    assert "a cross is left out" in " ".join(" ".join(read).split())


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("looked, only the first 10 mm: it counts", "looked, only the first 10 mm"),
        ("touched the clamp; it counts", "touched the clamp"),
        ("touched the clamp (it still counts).", "touched the clamp"),
        ("looked: it counts; heel alone", "looked; heel alone"),
        ("a scratch, so it counts", "a scratch"),
        ("It counts: heel alone", "heel alone"),
        ("clamp slipped: heel", "clamp slipped: heel"),
    ],
)
def test_the_word_that_a_row_counts_leaves_no_mark_behind(tmp_path, run, typed, told):
    log = tmp_path / "log.csv"
    rows = wedge_log(LIVES, {"S": 2.4, "H": 2.4}).splitlines()
    rows = [f"{rows[0]},mishap", *(f"{row}," for row in rows[1:])]
    rows[4] += f'"{typed}"'
    log.write_text("\n".join(rows) + "\n", encoding="utf-8")
    code, text, err = run("fit", log, "--limit", 12)
    assert code == 0, err
    (line,) = [line for line in text.splitlines() if line.startswith("A mishap is noted")]
    assert f"(row 5): {told}." in line
