"""The bench sheet: a ruled box for every reading of every run, tall enough to write in."""

import datetime
import re
from itertools import pairwise

import pytest
from pypdf import PdfReader

from edgetest.report.documents.bench_sheet import MOST_BOXES, _group, _parts, build_bench_sheet
from edgetest.store.places import shipped
from edgetest.store.protocol import load_protocol
from edgetest.study.sources import open_source
from edgetest.study.wear.planning import PlanOptions, make_plan

WHEN = datetime.datetime(2026, 11, 25, tzinfo=datetime.UTC)
MM = 72 / 25.4


@pytest.fixture(scope="module")
def planned():
    source = open_source(shipped("sample_runs") / "billhook_temper_study")
    made, _ = make_plan(source, PlanOptions(blocks=("roll 1", "roll 2", "roll 3")))
    return source, made


def rules_of(page):
    """Heights on the page, in mm, of everything that is drawn straight across."""
    heights = []

    def visit(operator, operands, matrix, _):
        if operator in (b"m", b"l"):
            x, y = (float(value) for value in operands)
            heights.append((matrix[1] * x + matrix[3] * y + matrix[5]) / MM)

    page.extract_text(visitor_operand_before=visit)
    return sorted({round(height, 2) for height in heights})


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_every_run_has_its_boxes_on_one_page(planned, tmp_path, paper):
    source, made = planned
    (path,) = build_bench_sheet(source, made, tmp_path, paper=paper, timestamp=WHEN)
    pages = PdfReader(path).pages
    texts = [re.sub(r"\s+", " ", page.extract_text()) for page in pages]
    for number, run in enumerate(made.runs, 1):
        (text,) = [t for t in texts if f"Run {number}: blade {run.blade}, {run.block}" in t]
        part = text.split(f"Run {number}: ")[1].split("Run ")[0]
        for stage in source.protocol.stages:
            assert re.search(rf"\b{stage}\b", part), (number, stage)
        for reading in ("Edge width, µm", "Thread severing force, gf", "Sharpness grade"):
            assert reading in part
    assert f"chance to show {made.need.difference}" in texts[0]
    assert len(pages) <= 1 + len(made.runs)
    assert paper != "a4" or "Run 1: blade" in texts[0]  # the first page is used


def test_boxes_are_ruled_at_least_nine_millimetres_apart(planned, tmp_path):
    source, made = planned
    (path,) = build_bench_sheet(source, made, tmp_path, timestamp=WHEN)
    heights = rules_of(PdfReader(path).pages[1])
    gaps = [b - a for a, b in pairwise(heights)]
    assert sum(9 <= gap <= 11 for gap in gaps) >= 2 * len(source.protocol.stages)


def test_a_blinded_sheet_shows_codes_and_no_name(planned, tmp_path):
    source, made = planned
    (path,) = build_bench_sheet(source, made, tmp_path, blinded=True, timestamp=WHEN)
    text = "".join(page.extract_text() for page in PdfReader(path).pages)
    for run in made.runs:
        assert f"blade {made.codes[run.blade]}" in text
        assert f"blade {run.blade}," not in text


def test_many_readings_are_shared_out_over_tables_that_fit():
    rules = load_protocol("sisal_rope")
    wide = rules.readings[1].model_copy(update={"repeats": 23})
    parts = _parts([_group(rules, rules.readings[0]), _group(rules, wide)])
    assert [sum(len(places) for _, places in part) for part in parts] == [3, 10, 10, 3]
    assert all(sum(len(places) for _, places in part) <= MOST_BOXES for part in parts)
