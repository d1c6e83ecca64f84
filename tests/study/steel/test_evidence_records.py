import re
import tomllib
from pathlib import Path

import pytest

from edgetest.errors import ManyFaults, UnusableInput
from edgetest.store.checking import validate
from edgetest.store.records import load_study
from edgetest.study.overview import overview
from edgetest.study.sources import open_source
from edgetest.study.steel import evidence_records as evidence_room
from edgetest.study.steel.evidence_edit import (
    add_row,
)
from edgetest.study.steel.evidence_records import evidence_of
from edgetest.study.steel.judge_steel import judge_steel
from edgetest.study.steel.pack_records import Pack, PackCoupon, PackHeat, Section
from edgetest.study.steel.row_kinds import hardness_cell
from edgetest.units import as_typed
from tests.study.steel.found_steel import LADDER, PIECE, make_study

GUIDE = Path(evidence_room.__file__).parents[2] / "guide"


@pytest.mark.parametrize(
    ("written", "ends"),
    [
        (61, (61, None, None)),
        ("61,5", (61.5, None, None)),
        ("60-65", (None, 60, 65)),
        ("skates all", (None, 65, None)),
        ("All bite", (None, None, 40)),
        (">55", (None, 55, None)),
    ],
)
def test_hardness_is_read_as_it_is_written(written, ends):
    read = hardness_cell(written)
    assert (read.value, read.lower, read.upper) == ends


def test_sizes_are_weighed_in_one_unit_and_stand_as_typed(tmp_path):
    metric = {"temperature_c": 200.0, "time_min": 120.0, "hardness": [60.0]}
    for name, row in (
        ("typed", {"temperature_c": "392 °F", "time_min": "2 h"}),
        ("key", {"temperature_f": 392, "time_min": "2 h"}),
    ):
        folder = make_study(tmp_path / name, evidence=LADDER)
        add_row(folder, "tempered", metric)
        add_row(folder, "tempered", row | {"hardness": ["59,5"]})
        assert judge_steel(folder).routes[0].hardness.pieces[0].readings == 2  # one temper
        kept = evidence_of(load_study(folder)).tempered[1]
        assert as_typed(kept.temperature_c, "c") == "392 °F"
        assert as_typed(kept.time_min, "min") == "2 h"
        assert '"2 h"' in (folder / "study.toml").read_text(encoding="utf-8")


def test_every_fault_of_the_evidence_is_told_at_once(tmp_path):
    folder = make_study(
        tmp_path / "s", evidence=PIECE + '[[evidence.quenched]]\nmedium = "mud"\ngrain = "bad"\n'
    )
    with pytest.raises(ManyFaults) as caught:
        evidence_of(load_study(folder))
    assert len(caught.value.faults) == 2


def test_check_lists_the_evidences_faults_beside_the_logs(tmp_path):
    folder = make_study(tmp_path / "s", evidence='[verdict]\nlife_ratio = "long"\n' + PIECE)
    text = (folder / "study.toml").read_text(encoding="utf-8").replace('"like_high"', '"bright"')
    (folder / "study.toml").write_text(text, encoding="utf-8")
    places = [fault["where"] for fault in overview(open_source(folder)).faults]
    assert places == [
        "study.toml, evidence, pieces 1 (leaf), sparks", "study.toml, verdict, life_ratio",
    ]  # fmt: skip


def test_several_pieces_want_their_name_on_every_reading(tmp_path):
    folder = make_study(tmp_path / "s", evidence=PIECE)
    add_row(folder, "pieces", {"id": "other", "makes_blades": 3.0, "coating": "none"})
    with pytest.raises(UnusableInput, match="does not say on which piece"):
        add_row(folder, "quenched", {"medium": "oil", "hardness": [60]})


def test_the_guides_example_is_read_and_tells_every_key():
    text = (GUIDE / "mystery_steel.md").read_text(encoding="utf-8")
    block = re.search(r"```toml\n(.*?)```", text, re.DOTALL)[1]
    data = tomllib.loads(block)
    found = validate(evidence_room.Evidence, data["evidence"], "guide")
    validate(evidence_room.Wishes, data["verdict"], "guide")
    assert found.pack.sections[1].removed_mm == (1.3, 1.3)
    told = set(re.findall(r"(\w+) = ", block)) | set(re.findall(r"\[evidence\.(\w+)\]", block))
    own = [
        getattr(evidence_room, name)
        for name in ("Evidence", "Piece", "Quenched", "Tempered", "Analysis", "Wishes")
    ]
    for record in (*own, Pack, PackHeat, Section, PackCoupon):
        assert set(record.model_fields) - told == set(), record.__name__
