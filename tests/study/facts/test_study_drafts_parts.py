"""A draft part by part: numbers, a protocol of one's own, cards, what is missing."""

import json

import pytest

from edgetest.errors import UnusableInput
from edgetest.store.protocol import load_protocol
from edgetest.study.facts import study_drafts as setup


@pytest.mark.parametrize(
    ("text", "whole", "found"),
    [("0, 10, 25", True, [0, 10, 25]), ("0 10.0", True, [0, 10]), ("", True, []),
     ("2.5 10", False, [2.5, 10.0])],
)  # fmt: skip
def test_numbers_are_typed_in_a_row(text, whole, found):
    assert setup.numbers(text, whole=whole) == found
    assert {type(each) for each in setup.numbers(text, whole=whole)} <= {int if whole else float}


def test_half_a_cut_is_no_whole_number():
    with pytest.raises(UnusableInput, match=r'"2.5" is not a whole number'):
        setup.numbers("1 2.5", whole=True)


def own(**more):
    facts = {"title": "My rope", "medium": "hemp", "size": "8 mm", "stages": [0, 10],
             "stations": [20.0], "readings": ["edge_width_um", "grade"], "limit": None}  # fmt: skip
    return setup.own_rules(load_protocol("sisal_rope"), facts | more)


def test_a_protocol_of_ones_own_keeps_what_was_not_changed():
    data = own()
    assert (data["id"], data["title"], data["stages"], data["stations_mm"]) == (
        "my_rope", "My rope", [0, 10], [20.0],
    )  # fmt: skip
    assert (data["medium"]["kind"], data["medium"]["size"]) == ("hemp", "8 mm")
    assert data["medium"]["source"] == data["sources"]["stages"] == "set by the maker"
    assert [rule["name"] for rule in data["readings"]] == ["edge_width_um", "grade"]
    assert data["readings"][0]["at_stations"]
    assert data["limit"] == load_protocol("sisal_rope").to_toml_dict()["limit"]
    assert "ladder" in data


def test_what_goes_with_a_reading_goes_without_it():
    bare = own(readings=["edge_width_um"], stations=[], limit=9.0)
    assert "ladder" not in bare
    assert "at_stations" not in bare["readings"][0]
    assert (bare["limit"]["value"], bare["limit"]["source"]) == (9.0, "set by the maker")
    assert "limit" not in own(readings=["grade"], limit=9.0)


def test_a_draft_that_was_cut_short_is_none(tmp_path):
    file = setup.begin_draft(tmp_path, "chopper")
    assert setup.read_draft(file).job == "chopper"
    assert setup.draft_file(tmp_path, file.stem) == file
    assert setup.draft_file(tmp_path, "../x") is None
    assert setup.draft_file(tmp_path, "0" * 8) is None
    known = json.loads(file.read_text("utf-8"))
    file.write_text(json.dumps(known | {"of_another_version": 1}), "utf-8")
    assert setup.read_draft(file).job == "chopper"
    file.write_text('{"job": "chop', "utf-8")
    assert setup.read_draft(file) is None
    assert setup.drafts_begun(tmp_path) == {}
    setup.drop_draft(file)
    setup.drop_draft(file)
    assert setup.read_draft(file) is None
    second = setup.begin_draft(tmp_path, "edge")
    assert list(setup.drafts_begun(tmp_path)) == [second]


def test_a_card_is_made_where_it_is_written_and_kept_where_it_is_not(tmp_path):
    file = setup.begin_draft(tmp_path, "edge")
    setup.change_card(file, 2, names="K1")
    setup.change_card(file, 0, names="S1", angle="15")
    setup.change_card(file, 2, angle="20")
    assert setup.read_draft(file).cards == (
        {"names": "S1", "angle": "15"}, {}, {"names": "K1", "angle": "20"},
    )  # fmt: skip


def test_a_removed_blade_is_no_control_any_more(tmp_path):
    file = setup.begin_draft(tmp_path, "edge")
    setup.change_draft(file, blades=[{"id": "A"}, {"id": "B"}], control="A")
    setup.remove_blade(file, "B")
    assert setup.read_draft(file).control == "A"
    setup.remove_blade(file, "A")
    assert (setup.read_draft(file).blades, setup.read_draft(file).control) == ((), None)


def test_protocols_are_those_of_the_job(tmp_path):
    cuts, chops = (setup.protocol_choices(tmp_path, job) for job in ("edge", "chopper"))
    assert "sisal_rope" in cuts
    assert "billet_chop" in chops
    assert not set(cuts) & set(chops)
    assert setup.protocol_choices(tmp_path) == cuts


def test_a_draft_of_a_steel_needs_a_name_alone_and_none_stands_twice(tmp_path):
    file = setup.begin_draft(tmp_path, "steel")
    setup.change_draft(file, title="Disc", use="knife")
    folder = setup.make_study(file)
    assert folder == tmp_path / "disc"
    with pytest.raises(UnusableInput, match="made or dropped already"):
        setup.make_study(file)
    again = setup.begin_draft(tmp_path, "steel")
    setup.change_draft(again, title="Disc")
    with pytest.raises(UnusableInput, match='a study "Disc" is there already'):
        setup.make_study(again)


def test_only_heat_treatments_that_a_blade_has_are_kept(tmp_path):
    file = setup.begin_draft(tmp_path, "edge")
    setup.change_draft(
        file, title="x", protocol="sisal_rope", blades=[{"id": "A", "heat_treatment": "a"}],
        heat_treatments=[{"id": "a"}, {"id": "b"}],
    )  # fmt: skip
    text = (setup.make_study(file) / "study.toml").read_text("utf-8")
    assert 'id = "a"' in text
    assert 'id = "b"' not in text
