"""Page 1 tells each grade of answer in one sentence for everybody, through the real command."""

import re

import pytest

from edgetest.store.workspace import new_study
from tests.report.documents.pdf_pages import page_texts

pytestmark = pytest.mark.usefixtures("blank_figures")  # words are read

LEVEL_20 = "If there were no difference, chance alone would show one this clear in at most 1 of 20"
# Name: lives of each heat treatment's blades, a pattern of the first sentence, words of the next.
GRADES = {
    "settled by the margin": (
        {"low": (300, 320, 310), "high": (500, 520, 510)},
        rf"High held its edge about 1\.65 times as long as low in this test\. {LEVEL_20}",
        "Student's t with one pooled variance, on logarithms, 4 degrees of freedom; "
        "3 blades of low, 3 blades of high.",
    ),
    "settled, the shorter one first in the log": (
        {"high": (500, 520, 510), "low": (300, 320, 310)},
        r"High held its edge about 1\.65 times as long as low in this test\.",
        "4 degrees of freedom",
    ),
    "settled, not by the margin": (
        {"low": (300, 310, 305, 312), "high": (340, 352, 331, 349)},
        r"High held its edge about 1\.12 times as long as low in this test; it may be by less than"
        rf" 10 %\. {LEVEL_20}",
        "6 degrees of freedom",
    ),
    "alike": (
        {"low": (300, 310, 305, 312), "high": (301, 312, 304, 309)},
        r"High and low held their edge alike in this test, to within 10 %\. If they differed by "
        "10 % or more, at most 1 of 20 such tests would find them alike.",
        "6 degrees of freedom",
    ),
    "not to be told": (
        {"low": (250, 320, 410), "high": (300, 380, 520)},
        r"This test cannot tell which of high and low holds its edge longer\. High lasted about "
        r"1\.2 times as long as low, but chance alone can do that\.",
        "4 degrees of freedom",
    ),
    "an open end": (
        {"low": ("<300", "<310", "<320"), "high": (">500", ">520", ">510")},
        r"High held its edge at least [\d.]+ times as long as low in this test|"
        r"This test cannot tell which of high and low holds its edge longer\.",
        "",
    ),
    "one blade each": (
        {"low": (300,), "high": (500,)},
        r"This test cannot tell which of blade high1 and blade low1 holds its edge longer\. "
        r"One blade does not show what its heat treatment does",
        "",
    ),
    "three, one of them ahead": (
        {"low": (300, 320, 310), "high": (500, 520, 510), "mid": (305, 315, 312)},
        r"Of 3 heat treatments high came out longest in this test: it outlasts low and mid\. "
        rf"{LEVEL_20}",
        "adjusted for",
    ),
    "three, not to be told": (
        {"low": (250, 320, 410), "high": (300, 380, 520), "mid": (260, 330, 430)},
        r"This test cannot tell which of 3 heat treatments holds its edge longest: high came out "
        r"longest, but chance alone can do that\.",
        "adjusted for",
    ),
    "three, one blade of one": (
        {"low": (300, 320, 310), "high": (500, 520, 510), "mid": (900,)},
        r"Of 2 heat treatments that can be compared high came out longest in this test: it "
        r"outlasts low and of mid too few blades were tested to say\.",
        "",
    ),
    "hanging on one blade": (
        {"low": (300, 310, 305, 308), "high": (500, 505, 510, 250)},
        r"This test cannot tell: its answer changes with ",
        "",
    ),
    "one heat treatment": (
        {"low": (300, 320, 310)},
        r"This test compares no heat treatments: nothing is said of one against another\.",
        "",
    ),
}


def study_of(folder, lives):
    """A study of noted lives, heat treatment by heat treatment."""
    blades = {
        f"{name}{k}": (name, life) for name, of in lives.items() for k, life in enumerate(of, 1)
    }
    new_study(
        folder, "sisal_rope", "Tempers", heat_treatments=[{"id": name} for name in lives],
        blades=[{"id": blade, "heat_treatment": name} for blade, (name, _) in blades.items()],
    )  # fmt: skip
    rows = [f"{blade},{life}" for blade, (_, life) in blades.items()]
    (folder / "log.csv").write_text("blade,life\n" + "\n".join(rows) + "\n", encoding="utf-8")
    return folder


@pytest.mark.parametrize("grade", GRADES)
def test_each_grade_has_its_sentence(grade, tmp_path, answer):
    lives, sentence, method = GRADES[grade]
    said = answer("compare", study_of(tmp_path / "s", lives), "--json")["page_one"]
    assert re.match(sentence, said["plain"])
    assert method in said["method"]
    assert "as long as low" not in said["plain"] or len(lives["high"]) > 1


@pytest.mark.parametrize("grade", ["settled, the shorter one first in the log", "one blade each"])
def test_it_stands_on_the_first_page(grade, tmp_path, run):
    lives, sentence, method = GRADES[grade]
    folder = study_of(tmp_path / "s", lives)
    code, _, err = run("report", folder, "--to", folder / "out")
    assert code == 0, err
    pages = [
        " ".join(page.replace("\u200b", "").replace("\u00ad\n", "").split())
        for page in page_texts(folder / "out" / "comparison.pdf")
    ]
    assert re.search(sentence, pages[0])
    assert ("It rests on " in pages[0]) == bool(method)
    assert "degrees of freedom" not in pages[0]  # for a reader with statistics, further behind
    assert method in " ".join(pages[1:])
