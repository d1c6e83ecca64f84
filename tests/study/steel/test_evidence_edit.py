"""Evidence written from the page: whole or not at all, in place, comments kept."""

import pytest

from edgetest.errors import UnusableInput
from edgetest.store.records import load_study
from edgetest.study.steel.evidence_edit import add_row, put_facts, put_row, put_wishes, take_out
from edgetest.study.steel.judge_steel import judge_steel
from edgetest.study.steel.steel_rows import verdict_wishes_of
from tests.study.steel.found_steel import COUPON, PIECE, make_study


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ({"medium": "olive", "hardness": [60]}, '"olive" is not known'),
        ({"medium": "oil", "hardness": ["hard"]}, "hard"),
        ({"medium": "oil", "hardnes": [60]}, "did you mean hardness"),
        ({"medium": "oil", "hardness": ["60-65"], "scale": "HV"}, "files are rated in HRC"),
        ({"medium": "oil", "blade": "Z9", "hardness": [60]}, '"Z9" is not a blade'),
        ({"medium": "oil", "piece": "other", "hardness": [60]}, '"other" is not a piece'),
    ],
)
def test_a_row_that_cannot_be_read_is_refused_and_not_written(tmp_path, row, words):
    folder = make_study(tmp_path / "s", evidence=PIECE)
    before = (folder / "study.toml").read_bytes()
    with pytest.raises(UnusableInput) as caught:
        add_row(folder, "heats", row)
    assert words in str(caught.value)
    assert "evidence" in str(caught.value)
    assert (folder / "study.toml").read_bytes() == before


def test_two_devices_lose_no_row_and_a_stale_one_is_refused(tmp_path):
    folder = make_study(tmp_path / "s", evidence=PIECE)
    shown = load_study(folder).evidence["pieces"][0]
    add_row(folder, "heats", {"medium": "oil", "hardness": [61]})
    add_row(folder, "heats", {"medium": "air", "hardness": ["<40"]})
    assert [r["medium"] for r in load_study(folder).evidence["heats"]] == ["oil", "air"]
    put_row(folder, "pieces", shown, shown | {"coating": "removed"})
    with pytest.raises(UnusableInput, match=r"row is now .*removed.*; it was .*none"):
        put_row(folder, "pieces", shown, shown | {"coating": "painted"})
    assert load_study(folder).evidence["pieces"][0]["coating"] == "removed"
    row = load_study(folder).evidence["heats"][0]
    take_out(folder, "heats", row)
    with pytest.raises(UnusableInput, match="no longer there"):
        take_out(folder, "heats", row)


def test_a_mended_heat_leaves_every_other_line_and_comment(tmp_path):
    folder = make_study(tmp_path / "s", evidence=COUPON + "# the softest file bit\n")
    before = (folder / "study.toml").read_text(encoding="utf-8")
    row = load_study(folder).evidence["heats"][0]
    put_row(folder, "heats", row, row | {"heat_c": "1525 °F", "colour": "cherry"})
    after = (folder / "study.toml").read_text(encoding="utf-8")
    assert after == before.replace("heat_c = 830", 'heat_c = "1525 °F"').replace(
        'grain = "fine"\n', 'grain = "fine"\ncolour = "cherry"\n'
    )


def test_facts_and_wishes_are_kept_and_refused_where_stale(tmp_path):
    folder = make_study(tmp_path / "s", evidence=COUPON)
    put_facts(folder, {}, {"known_high": "an old file"})
    with pytest.raises(UnusableInput, match="known_high is now an old file"):
        put_facts(folder, {}, {"known_high": "another"})
    put_wishes(folder, {}, {"use": "knife", "hardness_hrc": "55-58", "blade_hours": "6 h"})
    wishes = verdict_wishes_of(load_study(folder))
    assert (wishes.use, wishes.hardness_hrc) == ("knife", (55, 58))
    assert wishes.blade_hours == 6
    assert judge_steel(folder).wanted_hrc == (55, 58)
    with pytest.raises(UnusableInput, match="are now"):
        put_wishes(folder, {}, {"use": "chisel"})
    with pytest.raises(UnusableInput, match='"x ray" is not known'):
        put_wishes(folder, load_study(folder).verdict, {"no_test": ["x ray"]})


def test_a_study_of_a_title_alone_is_written_into_and_emptied_again(tmp_path):
    (tmp_path / "study.toml").write_text('title = "Found"  # in the hedge\n', encoding="utf-8")
    put_wishes(tmp_path, {}, {"use": "knife"})
    add_row(tmp_path, "pieces", {"id": "bar", "coating": "no"})
    assert judge_steel(tmp_path, try_numbers=False).asked.piece == "bar"
    take_out(tmp_path, "pieces", {"id": "bar", "coating": "no"})
    text = (tmp_path / "study.toml").read_text(encoding="utf-8")
    assert text.startswith('title = "Found"  # in the hedge\n')
    assert "bar" not in text
    assert judge_steel(tmp_path).action == "first_step"
