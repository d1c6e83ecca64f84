"""The protocols that come with the program, and the words of a fault in one."""

import re
import tomllib
from pathlib import Path

import pytest

from edgetest.errors import ManyFaults, UnusableInput
from edgetest.store.chop_log import COLUMNS, KINDS
from edgetest.store.places import shipped
from edgetest.store.protocol import describe, load_protocol, protocol_ids

ASKED_FOR = {
    "sisal_rope", "manila_rope", "corrugated_cardboard", "card_stock_abrasive",
    "whittling_hardwood", "lumber_chop", "billet_chop", "thread_severing",
}  # fmt: skip


def test_every_procedure_of_the_trade_is_there():
    assert set(protocol_ids()) >= ASKED_FOR


@pytest.mark.parametrize("name", protocol_ids())
def test_a_protocol_says_all_that_a_stranger_needs(name):
    protocol = load_protocol(name)
    assert protocol.id == name
    assert len(protocol.cautions) >= 3
    assert protocol.medium.batch
    assert protocol.edge_preparation.wire_edge
    assert protocol.control_blade
    assert describe(protocol).endswith(".")


def test_a_protocol_in_words_says_where_along_the_edge_it_is_read():
    told = describe(load_protocol("sisal_rope"))
    assert "read at 20 mm, 40 mm and 60 mm from the heel, at 0, 10, 25" in told
    assert "from the heel" not in describe(load_protocol("billet_chop"))


GUIDE = Path(__file__).parents[2] / "edgetest" / "guide" / "reference" / "sources.md"


def sources_of(name):
    """All that a protocol says of where its parts come from."""
    raw = tomllib.loads((shipped("protocols") / f"{name}.toml").read_text(encoding="utf-8"))
    tables = [part for part in raw.values() if isinstance(part, dict)]
    rows = [row for part in raw.values() if isinstance(part, list) for row in part]
    told = [part["source"] for part in (*tables, *rows) if isinstance(part, dict)
            and "source" in part]  # fmt: skip
    return [*told, *raw["sources"].values()]


@pytest.mark.parametrize("name", protocol_ids())
def test_every_source_stands_in_the_guide_or_is_said_to_be_missing(name):
    """Titles stand with author and date in the guide; a page shows words, no address."""
    guide = GUIDE.read_text(encoding="utf-8").replace("*", "")
    listed = re.findall(r"^\| ([^|]+?) \|", guide, re.MULTILINE)
    assert len(sources_of(name)) >= 5
    for source in sources_of(name):
        titles = re.findall(r"“[^”]+”", source)
        assert set(titles) <= set(listed), source
        named = [work for work in listed if work in source]
        assert named or re.search("from memory|no source|law of reflection", source), source
        assert not re.search(r"\.(com|org|net)\b|https?:|thread \d", source), source


@pytest.mark.parametrize("name", protocol_ids())
def test_chop_protocols_speak_the_chop_logs_columns(name):
    protocol = load_protocol(name)
    if protocol.log == "chops":
        assert {rule.name for rule in protocol.readings} <= set(COLUMNS)
        assert {*protocol.chop_kinds, *protocol.closing} <= set(KINDS)
        assert protocol.cut.stroke == "chop"
    else:
        assert protocol.cut.stroke in ("push", "draw")


def test_the_card_test_gives_no_pass_limit_and_says_what_is_from_memory():
    protocol = load_protocol("card_stock_abrasive")
    assert protocol.limit is None
    assert len(protocol.stages) == 60
    values = {item.name: item.value for item in protocol.conditions}
    assert values["test force"] == "50 N"
    assert values["cutting speed"] == "50 mm/s"
    unread = [item.source for item in protocol.conditions]
    assert all(re.search("not read|from memory", source) for source in unread)


SOURCE = (Path(__file__).parent.parent.parent / "protocols" / "sisal_rope.toml").read_text("utf-8")


def fault_of(folder, text):
    (folder / "sisal_rope.toml").write_text(text, encoding="utf-8")
    with pytest.raises(ManyFaults) as caught:
        load_protocol("sisal_rope.toml", folder)
    return str(caught.value)


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("[0, 10, 25", "[0, 25, 10", "sisal_rope.toml, stages: stage 10 stands after stage 25;"),
        (
            'stroke = "draw"',
            'stroke = "drow"',
            'sisal_rope.toml, cut, stroke: "drow" is not known; did you mean "draw"?',
        ),
        (
            'law = "wedge"',
            'law = "wege"',
            'sisal_rope.toml, readings 1 (edge_width_um): "wege" is not a law; write one of',
        ),
        (
            'unit = "µm"',
            'unit = "um"',
            'sisal_rope.toml, readings 1 (edge_width_um): "edge_width_um" has unit = "um"; '
            'write unit = "µm"',
        ),
        (
            'name = "sever_force_gf"',
            'name = "sever_force"',
            'sisal_rope.toml, readings 2 (sever_force): "sever_force" does not say its unit; end',
        ),
        (
            'reading = "edge_width_um"',
            'reading = "edge_width"',
            'sisal_rope.toml: limit is on "edge_width", which is not read; read one of',
        ),
        (
            "value = 12.0",
            'value = "12"',
            'sisal_rope.toml: limit "12" is not a number; write digits without quotes',
        ),
        (
            'backing = "',
            'bakcing = "',
            'sisal_rope.toml, cut, bakcing: "bakcing" is not a key here; did you mean backing?',
        ),
        (
            "angle_per_side_deg = 15",
            "angle_per_side_deg = 15\nincluded_angle_deg = 30",
            "sisal_rope.toml, edge_preparation: both angle_per_side_deg and included_angle_deg",
        ),
        (
            "stations_mm = [20, 40, 60]",
            "",
            "sisal_rope.toml: a reading at stations needs stations; add stations_mm = [10, 20, …]",
        ),
        ("ladder = [", "# [", "sisal_rope.toml: a graded reading needs a ladder; add ladder"),
        (
            'id = "sisal_rope"',
            'id = "sisal"',
            'sisal_rope.toml, id: "sisal" is not the name of the file; write id = "sisal_rope"',
        ),
    ],
)
def test_a_fault_names_file_key_and_mend(tmp_path, old, new, message):
    assert old in SOURCE
    assert message in fault_of(tmp_path, SOURCE.replace(old, new, 1))


@pytest.mark.parametrize("name", ["a" * 300, "a" * 300 + ".toml", "ß" * 130 + ".toml"])
def test_a_name_longer_than_a_file_may_have(name, tmp_path):
    with pytest.raises(UnusableInput, match="is longer than the name of a file may be"):
        load_protocol(name, tmp_path)


def test_a_protocol_that_is_not_there(tmp_path):
    with pytest.raises(UnusableInput, match=f"mine.toml is not in {tmp_path}; put your protocol's"):
        load_protocol("mine.toml", tmp_path)
    with pytest.raises(UnusableInput, match="there is no such file"):
        load_protocol("mine.toml")
    with pytest.raises(UnusableInput, match='"silk" is not a protocol; `edgetest protocols` lists'):
        load_protocol("silk")


def test_an_edited_protocol_is_read_again(tmp_path):
    path = tmp_path / "sisal_rope.toml"
    path.write_text(SOURCE, encoding="utf-8")
    assert load_protocol("sisal_rope.toml", tmp_path).limit.value == 12
    path.write_text(SOURCE.replace("value = 12.0", "value = 15.5"), encoding="utf-8")
    assert load_protocol("sisal_rope.toml", tmp_path).limit.value == 15.5


def test_a_title_is_told_with_its_id_and_a_tool_gets_no_guess():
    with pytest.raises(UnusableInput, match='did you mean "sisal_rope"'):
        load_protocol(load_protocol("sisal_rope").title)
    with pytest.raises(UnusableInput) as met:
        load_protocol("billhook")
    assert "did you mean" not in met.value.mend
