"""What looks at an edge leave open: photographs lost, soft, swapped, or named in two rows."""

import shutil
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

from edgetest.doubts import codes, doubt
from edgetest.report.documents.chopper_words import first_doubts
from edgetest.store.places import shipped
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.chop.edge_damage import EdgeDamage
from edgetest.study.chop.looks_doubted import doubts_of_looks, doubts_of_pictures
from edgetest.study.sources import open_chops
from tests.study.chop.test_chop_looks import look, row, seen


def test_lost_photographs_and_double_counts_are_doubted():
    refused = seen(measured=False, name="b.png")
    assert codes(doubts_of_looks([look(photos=[refused], missing=["c.png"])])) == (
        "side_view_refused", "side_view_missing",
    )  # fmt: skip
    assert codes(doubts_of_looks([look(chips=1, photos=[seen()])])) == ("damage_from_both",)
    words = {"log": "the count by eye counts", "photographs": "the photographs count"}
    for source, said in words.items():
        (told,) = doubts_of_looks([look(chips=1, photos=[seen()], source=source)])
        assert f"Of such a look {said}, and the most" in told.text
    for one in (look(chips=1), look(photos=[seen()]), look(chips=1, photos=[seen()], source=None)):
        assert codes(doubts_of_looks([one])) == ()


@pytest.mark.parametrize(("length", "doubted"), [(80.0, False), (78.5, False), (78.0, True)])
def test_photographs_that_show_more_edge_than_there_is_are_doubted(length, doubted):
    found = [look(photos=[seen()], source="photographs", length=length)]
    assert ("more_edge_than_typed" in codes(doubts_of_looks(found))) == doubted
    two = [look(photos=[seen(), seen(name="b.png")], source="photographs", length=100.0)]
    (told,) = doubts_of_looks(two)
    assert told.text.startswith(
        "The photographs of one look at H1 show 160 mm of an edge of 100 mm"
    )


def test_what_speaks_against_a_photograph_is_said_of_the_look_with_the_pictures_names():
    soft = [seen(name=name) for name in ("a.png", "b.png")]
    for one in soft:
        one.doubts = (doubt("soft_focus"),)
    found = [look(photos=soft, source="photographs"), look(photos=soft[:1], blade="H2")]
    told = [one for one in doubts_of_looks(found) if one.code == "soft_focus"]
    assert [one.where.blade for one in told] == ["H1", "H2"]
    assert told[0].text.startswith("a.png and b.png: The picture is soft")
    assert told[1].text.startswith("a.png: The picture is soft")


FELL = (
    "The photographs of H1 show 3 chips and 1 roll after 0 chops and 1 chip and no rolls after 20, "
    "on as much edge, and damage does not heal"
)


def photographed(when, chips, rolls, length_um=80_000.0, edge=1):
    photo = seen([9.0] * chips, [9.0] * rolls, length_um=length_um)
    return look(when=when, photos=[photo], source="photographs", chops=20 * (when == "after"),
                standing=EdgeDamage(edge=edge))  # fmt: skip


@pytest.mark.parametrize(
    ("after", "fell"),
    [
        (photographed("after", 1, 0), [FELL]),
        (photographed("after", 3, 1), []),
        (photographed("after", 1, 0, length_um=70_000.0), []),
        (photographed("after", 1, 0, edge=2), []),
        (replace(photographed("after", 1, 0), missing=("b.png",)), []),
    ],
)
def test_photographs_that_show_less_damage_than_earlier_ones_of_the_same_edge(after, fell):
    told = doubts_of_looks([photographed("before", 3, 1), after])
    found = [one for one in told if one.code == "photographs_fell"]
    assert [one.text.partition(":")[0] for one in found] == fell
    assert [one.where.blade for one in found] == ["H1"] * len(fell)


@pytest.fixture
def folder(tmp_path):
    for name in ("a.png", "copy.png"):
        Image.fromarray(np.eye(9, dtype=np.uint8) * 200).save(tmp_path / name)
    return tmp_path


def test_one_picture_in_two_rows_is_doubted_of_each_tool_that_it_is_said_of(folder):
    rows = [row(2, photo="a.png"), row(3, photo="copy.png", blade="H2"), row(4)]
    told = list(doubts_of_pictures(rows, folder))
    assert [(one.code, one.where.blade) for one in told] == [
        ("same_picture", "H1"), ("same_picture", "H2"),
    ]  # fmt: skip
    assert not list(doubts_of_pictures(rows[:1], folder))


def test_pictures_mixed_up_are_told_first_on_the_sheet_and_one_counts_once(tmp_path):
    study = tmp_path / "camp_hatchet_study"
    shutil.copytree(shipped("sample_runs") / study.name, study)
    log = study / "chops.csv"
    words = log.read_text("utf-8").replace("H1_before_toe", "H1_before_heel")
    log.write_text(words.replace("H1_after_toe", "C1_after_belly"), "utf-8")
    result = analyse_chops(open_chops(study))
    assert [len(result.look("H1", when).photos) for when in ("before", "after")] == [1, 2]
    first, _ = first_doubts(result, "H1")
    assert [line for line in first if "one and the same picture" in line] == [
        "H1_before_heel.jpg (row 2, blade H1) and H1_before_heel.jpg (row 3, blade H1) are one and "
        "the same picture: that is one reading, not two.",
        "C1_after_belly.jpg (row 50, blade H1) and C1_after_belly.jpg (row 51, blade C1) are one "
        "and the same picture: that is one reading, not two.",
    ]
    codes_told = [one["code"] for one in result.to_dict()["doubts"]]
    assert codes_told.count("same_picture") == 3


@pytest.mark.parametrize(("rolls", "chips", "told"), [(5, 0, 0), (0, 2, 1), (None, None, 1)])
def test_rolls_that_the_eye_counted_too_raise_no_doubt_of_a_bright_blade(rolls, chips, told):
    photo = seen(name="a.png")
    photo.doubts = (doubt("more_rolls_than_chips"),)
    one = look(photos=[photo], source="photographs")
    found = [replace(one, counted={"chips": chips, "rolls": rolls})]
    codes = [each.code for each in doubts_of_looks(found)]
    assert codes.count("more_rolls_than_chips") == told
