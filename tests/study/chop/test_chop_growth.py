"""Which chips are new since before the test: by counts where both looks counted, else bounds."""

import pytest

from edgetest.store.workspace import new_study
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.sources import open_chops
from tests.chop import codes

HEAD = (
    "blade,kind,order,chops,width_mm,thickness_mm,species,chips_count,largest_chip_mm,rolls_count\n"
)
PIECE = 'H1,billet,1,20,60,60,"ash, European",,,\n'


@pytest.fixture
def grown(tmp_path):
    def go(*rows, pieces=PIECE):
        folder = tmp_path / f"s{len(list(tmp_path.iterdir()))}"
        new_study(folder, "billet_chop", "Hatchet", blades=["H1"])
        before = [row for row in rows if row.startswith("before")]
        after = [row for row in rows if row.startswith("after")]
        text = HEAD
        text += "".join(f"H1,inspection,0,,,,,{row.removeprefix('before ')}\n" for row in before)
        text += pieces
        text += "".join(f"H1,inspection,1,,,,,{row.removeprefix('after ')}\n" for row in after)
        (folder / "chops.csv").write_text(text, encoding="utf-8")
        result = analyse_chops(open_chops(folder))
        return {one.kind: one for one in result.growth}, codes(result)

    return go


def test_one_count_less_the_other_is_new_and_the_rest_was_there(grown):
    found, _ = grown("before 2,0.3,1", "after 5,0.6,1")
    chips, rolls = found["chips"], found["rolls"]
    assert (chips.new, chips.old, chips.by) == (3, 2, "counts")
    assert (chips.new_at_least, chips.new_at_most) == (3, 3)
    assert (rolls.new, rolls.old) == (0, 1)
    assert chips.chops == 20


def test_without_a_look_before_all_that_was_found_counts_and_is_doubted(grown):
    found, doubts = grown("after 4,0.6,0")
    assert (found["chips"].new, found["chips"].old, found["chips"].by) == (4, 0, "no_look_before")
    assert "no_look_before" in doubts
    assert found["rolls"].new == 0


def test_fewer_than_before_is_none_new(grown):
    found, doubts = grown("before 3,0.3,0", "after 1,0.3,0")
    assert found["chips"].new == 0
    assert found["chips"].new_at_least == 0
    assert "damage_fell" in doubts


def test_a_kind_that_was_not_looked_for_has_no_growth(grown):
    found, _ = grown("before 0,,", "after 2,0.4,")
    assert set(found) == {"chips"}
    assert found["chips"].to_dict()["new"] == 2
