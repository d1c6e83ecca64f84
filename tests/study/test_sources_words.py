"""A log in words and as plain rows, from what it holds."""

from pathlib import Path

import pytest

from edgetest.store.cells import parse_life, parse_reading
from edgetest.store.chop_log import ChopLog, ChopRow
from edgetest.store.log_rows import LogRow
from edgetest.store.logs import Log
from edgetest.study.sources import Source, cell_of


def row(line, blade="A", **readings):
    cells = {name: parse_reading(text, "um") for name, text in readings.items()}
    return LogRow(line, blade, 10, readings=cells)


def source(*rows, chops=None):
    held = None if chops is None else ChopLog("chops.csv", (), tuple(chops))
    return Source(Path("a/rope.csv"), Log("rope.csv", (), tuple(rows)), chops=held)


@pytest.mark.parametrize(
    ("of", "said"),
    [
        (source(row(2)), "rope: log of 1 row on 1 blade"),
        (source(row(2), row(3), row(4, "B")), "rope: log of 3 rows on 2 blades"),
        (source(), "rope: log of 0 rows on 0 blades"),
        (source(chops=[ChopRow(2, "A", "billet")]), "rope: chop log of 1 row on 1 blade"),
        (source(row(2), chops=[ChopRow(2, "B", "billet")] * 2), "rope: log of 1 row on 1 blade"),
    ],
)
def test_a_source_is_told_by_its_rows_and_blades(of, said):
    assert of.summary() == said
    assert of.photos_folder == Path("a/photos")


def test_rows_are_plain_and_without_blanks():
    (plain,) = source(row(2, edge_width_um="8")).to_dict()["rows"]
    assert plain == {"line": 2, "blade": "A", "cuts": 10, "edge_width_um": 8.0}
    life = LogRow(2, "A", 0, readings={"life": parse_life(">150")})
    assert source(life).to_dict()["rows"] == [{"line": 2, "blade": "A", "life": ">150"}]


@pytest.mark.parametrize(
    ("cell", "shown"),
    [(parse_reading("8", "um"), 8.0), (parse_reading("<8", "um"), "<8"),
     (parse_reading(">8.50", "um"), ">8.5"), (parse_reading("8-10", "um"), "8-10"),
     (parse_reading("0", "um"), 0.0), ("x", "x"), (None, None), (7, 7)],
)  # fmt: skip
def test_a_cell_is_a_number_or_its_text(cell, shown):
    assert cell_of(cell) == shown


def test_a_frame_has_no_column_that_nobody_filled():
    frame = source(row(2, edge_width_um="8"), row(3)).to_frame()
    assert set(frame.columns) == {"line", "blade", "cuts", "edge_width_um"}
    assert len(frame) == 2
