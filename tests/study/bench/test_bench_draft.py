"""Setting up at the bench: step by step, blades copied, a protocol of one's own."""

import json

import pytest

from edgetest.errors import UnusableInput
from edgetest.study.bench import bench_draft as setup
from edgetest.study.bench.blinding import shown_names
from edgetest.study.bench.next_action import next_action
from edgetest.study.sources import open_source
from tests.browser.studies import (
    bench_study,
)


def test_a_session_is_set_up_step_by_step_and_blinded(tmp_path):
    setup.change_draft(tmp_path, title="Camp hatchets", protocol="thread_severing")
    for number in (1, 2, 3):
        setup.add_blade(tmp_path, {"id": f"K{number}"}, "temper 190 °C", control=number == 3)
    with pytest.raises(UnusableInput, match="blade K1 is there already"):
        setup.add_blade(tmp_path, {"id": "K1"})
    setup.remove_blade(tmp_path, "K1")
    draft = setup.read_draft(tmp_path)
    folder = setup.make_study(tmp_path, draft)
    assert setup.read_draft(tmp_path) is None
    source = open_source(folder)
    assert source.study.control == "K3"
    assert source.study.heat_treatments[0].title == "temper 190 °C"
    assert setup.needs_order(source)
    setup.draw_order(source, ["roll 1"], seed=4, blinded=True)
    source = open_source(folder)
    assert not setup.needs_order(source)
    codes = json.loads((folder / "sealed_key.json").read_text())["codes"]
    assert shown_names(source) == codes
    assert next_action(source).name == codes[next_action(source).blade]
    (folder / "sealed_key.json").write_text('{"codes": {}}')
    with pytest.raises(UnusableInput, match="key"):
        next_action(source)


def test_blades_are_copied_with_their_heat_treatments(tmp_path):
    bench_study(tmp_path, name="earlier")
    setup.change_draft(tmp_path, title="Again")
    setup.copy_blades(tmp_path, tmp_path / "earlier", ["K2"])
    setup.change_draft(tmp_path, protocol="earlier/short_rope.toml")
    source = open_source(setup.make_study(tmp_path, setup.read_draft(tmp_path)))
    assert [blade.id for blade in source.study.blades] == ["K2"]
    assert source.study.heat_treatment("ht1").title == "temper 260 °C"
    assert source.protocol.title == "Short rope"


def test_a_protocol_of_ones_own_is_checked_before_anything_is_made(tmp_path):
    rules = setup.protocol_choices(tmp_path)["sisal_rope"]
    own = {
        "title": "Hemp, own", "medium": "hemp rope", "size": "10 mm", "stages": [0, 5, 5],
        "stations": [15.0], "readings": ["edge_width_um"], "limit": 9.0,
    }  # fmt: skip
    setup.change_draft(tmp_path, title="Own", own=own)
    setup.add_blade(tmp_path, {"id": "K1"})
    with pytest.raises(UnusableInput, match="stage 5 stands after stage 5"):
        setup.make_study(tmp_path, setup.read_draft(tmp_path))
    setup.change_draft(tmp_path, own=own | {"stages": [0, 5, 15]})
    source = open_source(setup.make_study(tmp_path, setup.read_draft(tmp_path)))
    assert (source.protocol.id, source.protocol.stages) == ("hemp_own", (0, 5, 15))
    assert source.study.limit_value == 9.0
    assert [rule.name for rule in source.protocol.readings] == ["edge_width_um"]
    assert source.protocol.cautions == rules.cautions


def test_numbers_in_a_row_are_read_or_named():
    assert setup.numbers("0, 10 25;50", whole=True) == [0, 10, 25, 50]
    assert setup.numbers("20 40.5") == [20.0, 40.5]
    with pytest.raises(UnusableInput, match='"ten" is not a whole number'):
        setup.numbers("0 ten", whole=True)
