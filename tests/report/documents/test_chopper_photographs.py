"""Photographs on a tool's sheet behind page one: those that its study names, else the worst."""

import shutil

import pytest
from PIL import Image

from edgetest.errors import UnusableInput
from edgetest.report.documents.chopper_edge import edge_pictures
from edgetest.report.documents.chopper_photographs import photograph_sections
from edgetest.report.documents.chopper_sheet import sheet_contents
from edgetest.report.documents.frame import settings_for
from edgetest.store.places import shipped
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.sources import open_chops

BEFORE, AFTER, OTHER = "H1_before_heel.jpg", "H1_after_heel.jpg", "C1_after_belly.jpg"


@pytest.fixture
def study(tmp_path):
    return shutil.copytree(shipped("sample_runs") / "camp_hatchet_study", tmp_path / "hatchet")


def sections(study, names=()):
    """Captions in the section of photographs, and its pictures."""
    if names:
        wish = f"photographs = [{', '.join(map(repr, names))}]"
        file = study / "study.toml"
        text = file.read_text("utf-8")
        head, table, rest = text.partition("[document]\n")
        assert table
        file.write_text(f"{head}{table}{wish}\n{rest}", encoding="utf-8")
    result, pictures = analyse_chops(open_chops(study)), {}
    found = photograph_sections(result, "H1", settings_for(result.study), pictures)
    captions = [one["caption"] for part in found for block in part["blocks"]
                for one in block["items"]]  # fmt: skip
    return captions, pictures, result


def test_those_named_stand_in_their_order_and_the_maker_s_own_as_it_is(study):
    Image.new("RGB", (90, 60), "brown").save(study / "photos" / "tool.png")
    captions, pictures, result = sections(study, [AFTER, "tool.png", BEFORE])
    assert [one.replace("\u200b", "") for one in captions][1] == (
        "tool.png: the maker's picture, nothing was measured on it."
    )
    assert captions[0].startswith("After 127 chops: 1 chip")
    assert captions[2].startswith("Before the test: 1 chip")
    assert sorted(pictures) == ["shot_1.jpg", "shot_2.jpg", "shot_3.jpg"]
    contents = sheet_contents(result, "H1", settings_for(result.study), day="2026-11-01")
    assert {"shot_1.jpg", "shot_2.jpg", "shot_3.jpg"} <= set(contents.pictures)


def test_a_picture_of_another_tool_s_row_is_none_of_its_own(study):
    assert sections(study, [OTHER])[0] == []


def test_a_look_that_was_not_measured_is_shown_with_the_reason(study):
    Image.new("RGB", (600, 400), "grey").save(study / "photos" / AFTER)
    captions, pictures, _ = sections(study, [AFTER])
    assert captions[0].startswith("After 127 chops: not measured. ")
    assert len(captions[0]) > 40
    assert list(pictures) == ["shot_1.jpg"]


def test_a_picture_that_is_named_with_its_folder_too_is_the_same_one(study):
    captions, _, _ = sections(study, [AFTER, f"photos/{AFTER}"])
    assert len(captions) == 1
    assert captions[0].startswith("After 127 chops: 1 chip")


@pytest.mark.parametrize("name", ["gone.jpg", "../outside.jpg"])
def test_a_picture_that_is_not_there_is_refused_before_any_work(study, name):
    Image.new("RGB", (9, 9)).save(study.parent / "outside.jpg")
    with pytest.raises(UnusableInput, match=r"document, photographs: there is no"):
        sections(study, [name])


def test_unnamed_the_look_in_between_that_shows_more_stands_there(study):
    assert sections(study)[:2] == ([], {})  # page one shows as much
    log = study / "chops.csv"
    lines = log.read_text("utf-8").splitlines()
    head = lines[0].split(",")
    rows = [dict(zip(head, line.split(","), strict=True)) for line in lines[1:] if '"' not in line]
    # the edge is stoned, chops once more, and then looks as it did before the test
    piece = next(row for row in rows if (row["blade"], row["kind"]) == ("H1", "billet"))
    look = next(row for row in rows if row["photo"] == BEFORE)
    blank = dict.fromkeys(head, "")
    more = [{**blank, "blade": "H1", "kind": "touch-up"}, {**piece, "order": "7"}, look]
    lines += [",".join(row.values()) for row in more]
    log.write_text("\n".join(lines) + "\n", encoding="utf-8")
    captions, _, result = sections(study)
    assert len(captions) == 1
    assert captions[0].startswith("After 127 chops: 1 chip")
    after = edge_pictures(result, "H1")[-1][0]
    assert after.startswith("After 143 chops, 16 of them since it was touched up: ")
