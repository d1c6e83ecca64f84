"""What touching up took off and what is on the edge now add up with what was old and new."""

import pytest

pytestmark = pytest.mark.usefixtures("framed")

HEAD = "blade,kind,order,chops,diameter_mm,chips_count,rolls_count"
STUDY = """title = "A hatchet beside an old one, invented"
protocol = "billet_chop"
control = "O1"

[[blades]]
id = "H1"

[[blades]]
id = "O1"
"""


def page_of(run, folder, *rows):
    (folder / "study.toml").write_text(STUDY, encoding="utf-8")
    beside = ["H1,inspection,0,,,0,0", "H1,billet,1,15,50,0,0", "H1,billet,2,16,50,0,0"]
    text = "\n".join([HEAD, *(f"O1,{row}" for row in rows), *beside])
    (folder / "chops.csv").write_text(f"{text}\n", encoding="utf-8")
    assert run("report", folder, "--to", folder / "out")[0] == 0
    return (folder / "out" / "chopper_H1.html").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("old", "began", "now"),
    [
        (1, "; it began with 1 chip", "2 chips and 1 roll are on it now"),
        (0, "", "1 chip and 1 roll are on it now"),
    ],
)
def test_old_and_new_less_what_was_taken_off_is_what_is_on_the_edge(run, tmp_path, old, began, now):
    page = page_of(
        run, tmp_path,
        f"inspection,0,,,{old},0", "billet,1,20,50,,", f"billet,2,21,50,{old + 1},1",
        "touch-up,2,,,,", f"inspection,2,,,{old},0",
        "billet,3,20,50,,", f"inspection,9,,,{old + 1},1",
    )  # fmt: skip
    words = f"2 new chips and 2 new rolls (counted by eye){began}"
    assert f"{words}; touching up after 41 strokes took 1 chip and 1 roll off: {now}." in page


def test_a_touch_up_that_took_nothing_off_tells_when_it_was(run, tmp_path):
    page = page_of(
        run, tmp_path,
        "inspection,0,,,1,0", "billet,1,20,50,,", "billet,2,21,50,1,0",
        "touch-up,2,,,,", "inspection,2,,,1,0", "billet,3,20,50,,", "inspection,9,,,1,0",
    )  # fmt: skip
    told = "no new chips and no new rolls (counted by eye); it began with 1 chip"
    assert f"{told}; touched up after 41 strokes." in page


def test_an_edge_touched_up_last_is_not_told_as_it_was_before(run, tmp_path):
    page = page_of(
        run, tmp_path,
        "inspection,0,,,0,0", "billet,1,20,50,,", "billet,2,21,50,2,0", "touch-up,2,,,,",
    )  # fmt: skip
    told = "2 new chips and no new rolls (counted by eye); touched up after 41 strokes, and nobody"
    assert told in page
    assert "on it now" not in page
