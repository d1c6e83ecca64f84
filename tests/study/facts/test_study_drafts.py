"""A study is set up for its job step by step: blades copied, a protocol of one's own."""

import pytest

from edgetest.errors import UnusableInput
from edgetest.store.protocol import describe
from edgetest.study.bench.bench_order import draw_order, needs_order
from edgetest.study.bench.next_action import next_action
from edgetest.study.facts import study_drafts as setup
from edgetest.study.facts.draft_blades import cards_shown
from edgetest.study.sources import open_source
from edgetest.study.steel.evidence_edit import add_row
from tests.browser.studies import bench_study
from tests.quick_words import quick_words


def test_a_session_is_set_up_step_by_step_and_sealed(tmp_path, monkeypatch):
    quick_words(monkeypatch)
    file = setup.begin_draft(tmp_path, "edge")
    setup.change_draft(file, title="Camp hatchets", protocol="thread_severing")
    setup.change_card(file, 0, treatment="temper 190 °C", names="K1, K2,K3", angle="17.5")
    setup.change_card(file, 1, treatment="temper 260 °C", names="K2")
    with pytest.raises(UnusableInput, match="blade K2 is there already"):
        setup.make_study(file)
    setup.change_card(file, 1, names="S1")
    setup.change_draft(file, control="C1")
    folder = setup.make_study(file)
    assert setup.read_draft(file) is None
    source = open_source(folder)
    assert source.study.control == "C1"
    assert [(blade.id, blade.angle_per_side_deg) for blade in source.study.blades] == [
        ("K1", 17.5), ("K2", 17.5), ("K3", 17.5), ("S1", None), ("C1", None),
    ]  # fmt: skip
    titles = [each.title for each in source.study.heat_treatments]
    assert titles == ["temper 190 °C", "temper 260 °C"]
    assert needs_order(source)
    draw_order(source, ["roll 1"], seed=4, word="three odd words")
    source = open_source(folder)
    assert not needs_order(source)
    assert next_action(source).name in {blade.id for blade in source.study.blades}
    assert not {"K1", "K2", "K3", "S1", "C1"} & {blade.id for blade in source.study.blades}


def test_what_is_chosen_is_described_and_its_rows_counted_before_it_is_made(tmp_path):
    file = setup.begin_draft(tmp_path, "edge")
    assert setup.rows_to_come(tmp_path, setup.read_draft(file)) == 0
    rules = setup.protocol_choices(tmp_path)["sisal_rope"]
    own = {"title": "Short", "medium": "hemp", "size": "12 mm", "stages": [0, 5, 10],
           "stations": [20, 40], "readings": ["edge_width_um"], "limit": 9.0}  # fmt: skip
    told = describe(setup.chosen_rules(rules, own))
    assert "Hemp (12 mm)" in told
    assert "read at 20 mm and 40 mm from the heel, at 0, 5, 10" in told
    assert setup.chosen_rules(rules, {}) is rules
    setup.change_draft(file, title="Two tempers", protocol="sisal_rope", own=own)
    setup.change_card(file, 0, names="K1, K2")
    rows = setup.rows_to_come(tmp_path, setup.read_draft(file))
    assert rows == 2 * 3 * 2 == len(open_source(setup.make_study(file)).log.rows)


def test_blades_are_copied_with_their_heat_treatments(tmp_path):
    file = setup.begin_draft(tmp_path, "edge")
    bench_study(tmp_path, name="earlier")
    setup.change_draft(file, title="Again")
    setup.copy_blades(file, tmp_path / "earlier", ["K2"])
    setup.change_draft(file, protocol="earlier/short_rope.toml")
    setup.copy_blades(file, tmp_path / "earlier", ["K1"])
    with pytest.raises(UnusableInput, match="blade K1 is there already"):
        setup.copy_blades(file, tmp_path / "earlier", ["K1"])
    setup.remove_blade(file, "K1")
    source = open_source(setup.make_study(file))
    assert [blade.id for blade in source.study.blades] == ["K2"]
    assert source.study.heat_treatment("ht1").title == "temper 260 °C"
    assert source.protocol.title == "Short rope"


def test_a_protocol_of_ones_own_is_checked_before_anything_is_made(tmp_path):
    file = setup.begin_draft(tmp_path, "edge")
    rules = setup.protocol_choices(tmp_path)["sisal_rope"]
    own = {
        "title": "Hemp, own", "medium": "hemp rope", "size": "10 mm", "stages": [0, 5, 5],
        "stations": [15.0], "readings": ["edge_width_um"], "limit": 9.0,
    }  # fmt: skip
    setup.change_draft(file, title="Own", protocol="sisal_rope", own=own)
    setup.change_card(file, 0, names="K1")
    with pytest.raises(UnusableInput, match="stage 5 stands after stage 5"):
        setup.make_study(file)
    setup.change_draft(file, own=own | {"stages": [0, 5, 15]})
    source = open_source(setup.make_study(file))
    assert (source.protocol.id, source.protocol.stages) == ("hemp_own", (0, 5, 15))
    assert source.study.limit_value == 9.0
    assert [rule.name for rule in source.protocol.readings] == ["edge_width_um"]
    assert source.protocol.cautions == rules.cautions


def test_numbers_in_a_row_are_read_or_named():
    assert setup.numbers("0, 10 25;50", whole=True) == [0, 10, 25, 50]
    assert setup.numbers("20 40.5") == [20.0, 40.5]
    with pytest.raises(UnusableInput, match='"ten" is not a number'):
        setup.numbers("0 ten", whole=True)


def test_two_who_set_up_at_once_do_not_meet(tmp_path):
    mine, theirs = (setup.begin_draft(tmp_path, job) for job in ("edge", "chopper"))
    setup.change_draft(mine, title="Mine")
    assert setup.read_draft(theirs).title == ""
    assert [draft.job for draft in setup.drafts_begun(tmp_path).values()] == ["edge", "chopper"]
    assert setup.draft_file(tmp_path, mine.stem) == mine
    assert setup.draft_file(tmp_path, "../study") is None
    setup.drop_draft(mine)
    assert setup.draft_file(tmp_path, mine.stem) is None


def test_each_door_offers_the_protocols_of_its_job(tmp_path):
    chops = setup.protocol_choices(tmp_path, "chopper")
    assert set(chops) == {"billet_chop", "lumber_chop", "single_chop"}
    assert not set(chops) & set(setup.protocol_choices(tmp_path, "edge"))


@pytest.mark.parametrize(
    ("steps", "match"),
    [({}, "Name"), ({"title": " "}, "Name"), ({"title": "One"}, "Protocol"),
     ({"title": "One", "protocol": "sisal_rope"}, "Blades")],
)  # fmt: skip
def test_what_is_missing_is_named_and_the_draft_stays(tmp_path, steps, match):
    file = setup.begin_draft(tmp_path, "edge")
    setup.change_draft(file, **steps)
    with pytest.raises(UnusableInput) as caught:
        setup.make_study(file)
    assert caught.value.where == match
    assert setup.read_draft(file) is not None
    assert [path.name for path in tmp_path.iterdir()] == [".drafts"]


def test_a_steel_needs_its_name_alone(tmp_path):
    file = setup.begin_draft(tmp_path, "steel")
    setup.change_draft(file, title="Harrow discs", use="hedging tool")
    source = open_source(setup.make_study(file))
    assert source.study.of_steel
    assert source.study.verdict == {"use": "hedging tool"}
    assert setup.drafts_begun(tmp_path) == {}


def test_facts_without_a_blade_are_no_blade(tmp_path):
    file = setup.begin_draft(tmp_path, "chopper")
    setup.change_draft(file, title="Camp hatchet", protocol="billet_chop")
    setup.change_card(file, 0, names="", title="camp hatchet", edge="3 1/8 in")
    with pytest.raises(UnusableInput, match="no blade is named"):
        setup.make_study(file)
    setup.change_card(file, 0, names="H1")
    setup.change_card(file, 1, names="C1", known="yes")
    study = open_source(setup.make_study(file)).study
    assert study.control == "C1"
    assert study.blade("H1").edge_length_mm == 79.375
    assert study.blade("H1").angle_per_side_deg is None


def test_a_card_that_was_emptied_is_not_shown_again(tmp_path):
    file = setup.begin_draft(tmp_path, "edge")
    assert len(cards_shown(setup.read_draft(file))) == 2
    setup.change_card(file, 2, names="K1")
    assert len(cards_shown(setup.read_draft(file))) == 3
    assert len(cards_shown(setup.read_draft(file), another=True)) == 4
    setup.change_card(file, 2, names=" ")
    assert cards_shown(setup.read_draft(file)) == [{}, {}]


def test_blades_of_a_steel_are_tested_in_its_own_study(tmp_path):
    steel = setup.begin_draft(tmp_path, "steel")
    setup.change_draft(steel, title="Harrow discs")
    folder = setup.make_study(steel)
    add_row(folder, "pieces", {"id": "disc A", "origin": "plough disc"})
    file = setup.begin_draft(tmp_path, "edge", study=folder.name)
    setup.change_draft(file, protocol="sisal_rope")
    setup.change_card(file, 0, treatment="temper 190 °C", names="K1, K2")
    assert setup.make_study(file) == folder
    source = open_source(folder)
    assert source.study.evidence["pieces"][0]["id"] == "disc A"
    assert source.study.protocol == "sisal_rope"
    assert needs_order(source)
    again = setup.begin_draft(tmp_path, "chopper", study=folder.name)
    setup.change_draft(again, protocol="billet_chop")
    setup.change_card(again, 0, names="H1")
    with pytest.raises(UnusableInput, match="has a protocol already"):
        setup.make_study(again)
