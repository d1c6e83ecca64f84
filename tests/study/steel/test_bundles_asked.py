"""A bundle that stands in one row is asked about; a piece by a number of its own is not."""

import pytest

from edgetest.study.steel.bundles_asked import MEND, bundles_asked
from edgetest.study.steel.steel_rows import SteelRows


def asked(*pieces):
    return [str(one) for one in bundles_asked(SteelRows.model_validate({"pieces": list(pieces)}))]


@pytest.mark.parametrize(
    "name",
    ["T6 to T20", "T6-T20", "T6–20", "tines 6 to 20", "T6 and T7", "T6 + T7", "6..20",
     "tine6 and tine7"],
)  # fmt: skip
def test_an_id_of_several_pieces_is_asked_about(name):
    (said,) = asked({"id": name})
    assert said == (
        f'study.toml, evidence, pieces 1 ({name}): "{name}" looks like several pieces in one row; '
        f"{MEND}"
    )


@pytest.mark.parametrize(
    "name", ["T6", "disc A", "bar 20 mm", "2026-05-04", "A20-B3", "rod 12-9", "leaf and coil 3"]
)
def test_the_id_of_one_piece_is_not(name):
    assert asked({"id": name}) == []


def tine(name, many, **more):
    return {"id": name, "origin": "harrow tine", "lot": "tines", "makes_blades": many, **more}


def test_a_tine_that_makes_eighteen_blades_beside_others_of_its_lot_is_asked_about():
    (said,) = asked(tine("T1", 18), tine("T2", 1))
    assert "pieces 1 (T1), makes_blades: 18 blades of one harrow tine, beside other rows of" in said
    assert said.endswith(MEND)


def test_a_long_part_or_one_alone_in_its_lot_or_few_blades_are_not():
    assert asked(tine("T1", 4), tine("T2", 1)) == []
    assert asked(tine("T1", 18)) == []
    assert asked(tine("T1", 18), tine("T2", 1, lot="others")) == []
    assert asked(tine("T1", 18, origin="plough disc"), tine("T2", 1, origin="plough disc")) == []


def test_check_and_enter_ask_about_a_bundle_in_one_row(run, tmp_path):
    run("new", tmp_path / "tines", "--steel-for", "hatchet")
    _, out, _ = run("enter", tmp_path / "tines", "--evidence", "pieces", "id=T6 to T20")
    assert 'asked: study.toml, evidence, pieces 1 (T6 to T20): "T6 to T20" looks like' in out
    _, out, _ = run("check", tmp_path / "tines")
    assert '"T6 to T20" looks like several pieces in one row' in out
