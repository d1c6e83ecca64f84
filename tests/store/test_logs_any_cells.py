"""Logs of random cells and bytes: read the same as written, or told where and how to mend."""

import string

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from edgetest.errors import UnusableInput
from edgetest.store.cells import Reading, parse_reading, plain_number
from edgetest.store.files import csv_text
from edgetest.store.logs import LogRow
from edgetest.store.plausible import MOST
from edgetest.store.protocol import load_protocol
from edgetest.store.tables import read_table
from tests.store.read_logs import read
from tests.store.written_rows import format_reading, log_table

name = st.text(string.ascii_letters + string.digits + "äß½ -/", min_size=1, max_size=8).map(
    str.strip
).filter(bool)  # fmt: skip
size = st.floats(1e-4, MOST["um"], allow_nan=False).map(lambda x: float(f"{x:.6g}"))
reading = st.one_of(
    size.map(lambda x: Reading(x, None, None, "number")),
    size.map(lambda x: Reading(None, None, x, "below")),
    size.map(lambda x: Reading(None, x, None, "above")),
    st.tuples(size, size).filter(lambda p: p[0] < p[1]).map(
        lambda p: Reading(None, p[0], p[1], "between")
    ),
)  # fmt: skip
note = st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs", "Z"]), max_size=12)


@given(reading)
def test_a_reading_written_and_read_is_the_same(reading):
    for marks in ("", ".", ",", ",."):
        assert parse_reading(format_reading(reading), "um", marks) == reading


@given(st.floats(1e-9, 1e15, allow_nan=False))
def test_a_written_number_keeps_its_digits_and_has_no_exponent(number):
    text = plain_number(number)
    assert "e" not in text
    assert float(text) == pytest.approx(number, rel=1e-15)


@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.lists(
        st.tuples(name, st.integers(0, 9999), st.dictionaries(
            st.sampled_from(["edge_width_um", "sever_force_gf"]), reading, min_size=1), note),
        min_size=1, max_size=6, unique_by=lambda row: row[0].casefold()),
    st.sampled_from([",", ";", "\t"]),
    st.sampled_from(["\n", "\r\n"]),
)  # fmt: skip
def test_a_log_written_and_read_is_the_same(rows, delimiter, line_end):
    rows = [
        LogRow(line, blade, cuts, readings=readings, note=text.strip())
        for line, (blade, cuts, readings, text) in enumerate(rows, 2)
    ]
    text = csv_text(log_table(rows), delimiter=delimiter, line_end=line_end)
    log = read(text)
    assert log.faults == ()
    assert list(log.rows) == rows


@settings(max_examples=100)
@given(st.binary(max_size=200))
def test_any_bytes_are_a_table_or_told(data):
    place = ""
    try:
        place = "x.csv" if read_table(data, name="x.csv").columns else ""
    except UnusableInput as fault:
        place = fault.where
    assert place.startswith("x.csv")


piece = st.sampled_from(
    ["K1", "0", "50", "1.5", "1,5", "<", ">", "-", "/", " in", "½", '"', "'", "µm", "x", " ", "e9",
     "1,234", "٣", "=1", "nan", "1e400", "shaves", "\n", "²"]
)  # fmt: skip
nasty = st.lists(piece, max_size=4).map("".join)


@settings(max_examples=150)
@given(st.lists(st.lists(nasty, min_size=7, max_size=7), max_size=5))
def test_any_cells_are_read_or_told(rows):
    heading = ["blade", "cuts", "station_mm", "edge_width_um", "grade", "exclude", "check_no"]
    log = read(csv_text([heading, *rows]), protocol=load_protocol("sisal_rope"))
    for row in log.rows:
        for reading in row.readings.values():
            ends = [e for e in (reading.value, reading.lower, reading.upper) if e is not None]
            assert all(0 < end < np.inf for end in ends)
    for fault in log.faults:
        assert fault.where.startswith("log.csv, row ")
        assert fault.mend
