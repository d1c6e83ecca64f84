"""The bench sheet: a box on paper for everything that the log takes, in the order of the log."""

import csv
import datetime
import re
from itertools import groupby

import pytest
from pypdf import PdfReader

from edgetest.report.documents.bench_sheet import build_bench_sheet
from edgetest.store.protocol import load_protocol
from edgetest.store.workspace import copy_protocol, new_study
from edgetest.study.bench.next_action import next_action
from edgetest.study.sources import open_source
from edgetest.study.wear.plan_options import PlanOptions
from edgetest.study.wear.planning import drawn_order
from edgetest.study.wear.saved_plan import save_plan
from tests.report.documents.pdf_boxes import MM, ruled_boxes
from tests.report.documents.pdf_pages import page_texts

WHEN = datetime.datetime(2026, 11, 25, tzinfo=datetime.UTC)
MORE = "What else was done"
ONCE = ("operator", "batch")
LEAST = 20.0, 14.0  # mm, for a gloved hand: common practice, no source
# What a box is known by, and the column of the log that it goes into.
BEGINS = {
    "Number of photograph": "photo", "Edge width": "edge_width_um", "Thread": "sever_force_gf",
    "Sharpness": "grade", "Card cut": "card_mm", "Mishap": "mishap", "Note": "note",
    "Wood": "species", "Moisture": "moisture_pct", "Width": "width_mm",
    "Thickness": "thickness_mm", "or diameter": "diameter_mm", "Flat or": "orientation",
    "Length": "length_mm",
    "Mass": "mass_g", "Knots": "knots", "Notch": "notch_angle_deg", "Size as": "nominal",
    "Chops to": "chops", "Near": "near_misses",
    "Chips": "chips_count", "Rolls": "rolls_count", "Largest": "largest_chip_mm",
    "Depth": "depth_mm", "Board": "board", "Pass": "result", "Operator": "operator",
    "Roll or bundle": "batch",
}  # fmt: skip


def planned(folder, protocol, blades, rolls, *, control=None):
    """A study with its plan saved, and the order that was drawn."""
    names = [f"K{number}" for number in range(1, blades + 1)] if isinstance(blades, int) else blades
    tables = [{"id": b, "heat_treatment": ("soft", "hard")[n % 2]} for n, b in enumerate(names)]
    new_study(folder, protocol, "Probe", blades=tables, control=control,
              heat_treatments=[{"id": "soft"}, {"id": "hard"}])  # fmt: skip
    blocks = tuple(f"roll {number}" for number in range(1, rolls + 1))
    source = open_source(folder)
    made = drawn_order(source.study, PlanOptions(blocks=blocks))
    save_plan(source, made)
    return open_source(folder), made


def on_paper(source, made, folder, paper):
    """(block, stage, blade, columns) of every turn as the pages show them; every box is sound."""
    (path,) = build_bench_sheet(source, made, folder, paper=paper, timestamp=WHEN)
    pages, texts = PdfReader(path).pages, page_texts(path)
    found = []
    for number, page in enumerate(pages, 1):
        boxes = ruled_boxes(page)
        across, up = float(page.mediabox.width) / MM, float(page.mediabox.height) / MM
        for box in boxes:
            assert box.width >= LEAST[0] - 0.05, box
            assert box.height >= LEAST[1] - 0.05, box
            assert 5 <= box.left < box.right <= across - 5, box
            assert 10 <= box.low < box.high <= up - 5, box
            assert not any(overlap(box, other) for other in boxes if other is not box), box
        assert f"{number} of {len(pages)}" in texts[number - 1]
        found += turns_of(boxes)
    return found


def overlap(one, other):
    """Whether two boxes share more than a line."""
    across = min(one.right, other.right) - max(one.left, other.left)
    up = min(one.high, other.high) - max(one.low, other.low)
    return across > 0.3 and up > 0.3


def turns_of(boxes):
    """The turns of a page: the blade's own cell, and the boxes to its right."""
    first = min((box.left for box in boxes), default=0)
    block = asked = None
    for head in [box for box in boxes if box.left == first]:
        beside = [b for b in boxes if b.left > first and head.low - 0.2 <= b.low < head.high]
        if head.words == MORE:  # blank places, for what no row of the log waits for
            continue
        columns = [name for box in beside for name in columns_of(box.words)]
        if re.fullmatch(r"(?:Roll|Board|Stud) \d+|Blade", head.words):
            block, asked = head.words, columns
            continue
        if re.match("inspection|shave", head.words):  # stands for itself, without a heading
            own = [name for name in columns if name not in (*ONCE, "result")]
            if own != ["note", "mishap"]:
                yield "Blade", head.words.replace(", shave", ""), own, ["operator"]
            if "result" in columns:  # it stands in the line of the last inspection
                words = f"shave {head.words.split()[-1]}"
                yield "Blade", words, ["result", "note", "mishap"], ["operator"]
            continue
        assert block, "no turn on a page before its heading"
        held = [name for name in asked if name not in ONCE]
        yield block, head.words, [*columns, *held], [name for name in asked if name in ONCE]


def columns_of(words):
    """The columns that a box goes into: the one for words takes what is seldom noted too."""
    if words == "Note, mishap":
        return ["note", "mishap"]
    if words.startswith("Note: "):
        return ["note", *(column(each.capitalize()) for each in words[6:].split(", "))]
    return [column(words)]


def column(words):
    (name,) = [name for begin, name in BEGINS.items() if words.startswith(begin)]
    return name


def in_the_log(source):
    """(block, stage, blade, columns) of every turn, from the log's own file and the protocol."""
    rules, name = source.protocol, source.protocol.log
    with open(source.path / f"{name}.csv", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    for row in rows if name == "chops" else ():
        row["block"] = row["block"] or row["board"]  # a board that is named heads its pieces
    keys = ("block", "cuts", "blade") if name == "log" else ("block", "kind", "order", "blade")
    for key, group in groupby(rows, lambda row: [row[k] for k in keys]):
        some = list(group)
        taken = chopped(some[0]) if name == "chops" else cut(some, rules)
        yield key, sorted([*taken, "mishap", "note"])


def cut(rows, rules):
    for rule in rules.readings:
        for row in rows:
            if bool(row["station_mm"]) != rule.at_stations:
                continue
            if int(row["check_no"] or 1) <= rule.repeats:
                yield rule.name
                if rule.name == "edge_width_um" and "photo" in row:
                    yield "photo"


def chopped(row):
    piece = ["species", "moisture_pct", "width_mm", "thickness_mm", "diameter_mm", "orientation",
             "length_mm", "mass_g", "knots", "notch_angle_deg", "board"]  # fmt: skip
    taken = {
        "inspection": ["chips_count", "rolls_count", "largest_chip_mm", "photo"],
        "lumber": [
            "species",
            "moisture_pct",
            "knots",
            "nominal",
            "orientation",
            "notch_angle_deg",
            "chops",
            "near_misses",
            "chips_count",
            "rolls_count",
            "largest_chip_mm",
            "photo",
        ],
        "billet": [
            *piece,
            "chops",
            "near_misses",
            "chips_count",
            "rolls_count",
            "largest_chip_mm",
            "photo",
        ],
        "single": ["species", "moisture_pct", "board", "depth_mm", "photo"],
        "shave": ["result"],
    }[row["kind"]]
    return [name for name in taken if row.get(name) == ""]


CASES = [
    ("sisal_rope", 1, 1, None, "a4"),
    ("sisal_rope", 4, 2, "C1", "us-letter"),
    ("thread_severing", 2, 1, None, "a4"),
    ("card_stock_abrasive", 2, 2, None, "us-letter"),
    ("billet_chop", 3, 1, "C1", "a4"),
    ("lumber_chop", 2, 1, "C1", "us-letter"),
    ("single_chop", 2, 1, None, "us-letter"),
]


@pytest.mark.parametrize(("protocol", "blades", "rolls", "control", "paper"), CASES)
def test_every_cell_of_the_log_has_its_box_and_every_box_a_cell(
    tmp_path, protocol, blades, rolls, control, paper
):
    source, made = planned(tmp_path / "s", protocol, blades, rolls, control=control)
    same_as_the_log(source, on_paper(source, made, tmp_path, paper))


def same_as_the_log(source, shown):
    logged = list(in_the_log(source))
    shown = sorted(shown, key=lambda turn: turn[1].startswith("shave"))  # last in the log
    assert len(shown) == len(logged)
    table = source.log if source.protocol.log == "log" else source.chops
    for (block, head, columns, asked), (key, taken) in zip(shown, logged, strict=True):
        assert sorted(columns) == taken
        assert block.casefold() == (key[0] or "blade")
        assert head.endswith(f" {key[-1]}")
        assert re.match(rf"{key[1]} cuts|{key[1]}|chop", head)
        assert set(asked) == {"operator", "batch"} & set(table.columns)


def test_forty_eight_blades_go_over_many_pages_with_the_heading_on_each(tmp_path):
    folder = tmp_path / "s"
    folder.mkdir()
    path = copy_protocol("sisal_rope", folder, "short")
    path.write_text(re.sub(r"stages = \[[^]]*\]", "stages = [0, 400]", path.read_text()))
    source, made = planned(folder, "short.toml", 48, 2)
    shown = on_paper(source, made, tmp_path, "a4")
    same_as_the_log(source, shown)
    assert [words.split()[-1] for _, words, *_ in shown[:24]] == [
        run.blade for run in made.runs if run.block == "roll 1"
    ]


def test_the_sheet_begins_where_the_bench_begins(tmp_path):
    source, made = planned(tmp_path / "s", "sisal_rope", 4, 2)
    action = next_action(source)
    block, head, *_ = on_paper(source, made, tmp_path, "a4")[0]
    assert (block.casefold(), head) == (action.block, f"0 cuts {action.blade}")


def test_a_log_under_way_gets_no_box_that_it_has_no_column_for(tmp_path):
    _, made = planned(tmp_path / "s", "sisal_rope", 2, 1)
    (tmp_path / "s" / "log.csv").write_text("blade,cuts,station_mm,edge_width_um\nK1,0,20,2.5\n")
    shown = on_paper(open_source(tmp_path / "s"), made, tmp_path, "a4")
    assert {column for _, _, columns, _ in shown for column in columns} == {
        "edge_width_um", "mishap", "note",
    }  # fmt: skip
    assert len(shown) == 2 * len(load_protocol("sisal_rope").stages)


def test_a_long_name_is_broken_within_its_cell(tmp_path):
    name = "Superlongbladenamewithoutblanks-0123456789"
    source, made = planned(tmp_path / "s", "thread_severing", [name], 1)
    for _, head, *_ in on_paper(source, made, tmp_path, "us-letter"):
        lines = head.split()
        assert "".join(lines[2:]).replace("\u200b", "") == name
        assert max(len(line.replace("\u200b", "")) for line in lines) <= 16  # 21.6 mm at 7 points


def test_the_sheet_says_how_the_edge_is_ground_and_when_a_blade_is_done(tmp_path):
    source, made = planned(tmp_path / "s", "sisal_rope", 4, 2)
    build_bench_sheet(source, made, tmp_path)
    (first, *_) = page_texts(tmp_path / "bench_sheet.pdf")
    told = " ".join(first.split())
    assert "15° per side (30° included)" in told
    assert "past its limit, edge width 12 µm, or at 400 cuts" in told
    assert "Roll or bundle" in told
    words = told.casefold().replace("column batch", "")  # of the log, for a roll in mid-run
    assert "batch" not in words  # a word of the heat treatment


@pytest.mark.parametrize(
    ("protocol", "done", "order"),
    [
        ("lumber_chop", "after 2 pieces at the least; sooner at 1 new chip",
         "a piece with each tool in turn, then the next board"),
        ("billet_chop", "after 3 pieces at the least; sooner at 1 new chip",
         "Further pieces, of another wood or size too, are yours to add"),
        ("single_chop", "after chop 100", "all tools make a chop before any makes the next"),
    ],
)  # fmt: skip
def test_the_sheet_of_a_chop_test_says_what_a_piece_is_and_when_a_blade_is_done(
    tmp_path, protocol, done, order
):
    source, made = planned(tmp_path / "s", protocol, 2, 1)
    build_bench_sheet(source, made, tmp_path)
    told = " ".join(" ".join(page_texts(tmp_path / "bench_sheet.pdf")).split())
    assert f"A blade is done {done}" in told
    assert re.sub(r"\W", "", order) in re.sub(r"\W", "", told)  # a line may part a word
    assert "Before the first chop" in told
    assert "as the maker would sell it" in told
    assert "per side" not in told


def test_four_boards_for_two_tools_head_their_pieces_and_ask_for_no_board(tmp_path):
    source = planned(tmp_path / "s", "lumber_chop", 2, 1)[0]
    boards = ("Stud 1", "Stud 2", "Stud 3", "Stud 4")
    made = drawn_order(source.study, PlanOptions(blocks=boards))
    save_plan(source, made)
    shown = on_paper(open_source(tmp_path / "s"), made, tmp_path, "a4")
    assert [(block, head) for block, head, *_ in shown if head.startswith("lumber")] == [
        (run.block, f"lumber {boards.index(run.block) + 1} {run.blade}") for run in made.runs
    ]
    assert not any("board" in columns for _, _, columns, _ in shown)
    told = " ".join(page_texts(tmp_path / "bench_sheet.pdf")[0].split())
    assert "4 boards, each with a piece for every tool; turns balanced, drawn with" in told


def test_the_sheet_of_a_chop_log_under_way_needs_no_column_for_the_block(tmp_path):
    _, made = planned(tmp_path / "s", "lumber_chop", 2, 1)
    (tmp_path / "s" / "chops.csv").write_text(
        "blade,kind,order,board,species,nominal,chops\nK1,lumber,1,stud 1,pine,2x4,14\n"
    )
    shown = on_paper(open_source(tmp_path / "s"), made, tmp_path, "a4")
    assert [block for block, head, *_ in shown if head.startswith("lumber")] == [
        run.block.capitalize() for run in made.runs
    ]


def test_more_pieces_than_the_protocol_asks_for_are_those_that_end_the_blade(tmp_path):
    source = planned(tmp_path / "s", "billet_chop", 2, 1)[0]
    made = drawn_order(source.study, PlanOptions(blocks=("board 1", "board 2", "board 3"), runs=2))
    save_plan(source, made)
    source = open_source(tmp_path / "s")
    shown = on_paper(source, made, tmp_path, "a4")
    same_as_the_log(source, shown)
    pages = page_texts(tmp_path / "bench_sheet.pdf")
    told = " ".join(pages[0].split())
    assert "after the 6 pieces below (3 at the least); sooner at 1 new chip" in told
    assert "3 boards, each with 2 pieces for every tool" in told
    assert "saw as many billets for each blade from it" in told
    assert "Touch-up, look, rope, knot" in " ".join(
        pages[-1].split()
    )  # a place for what no row waits for
    for number in (1, 2, 3):  # no board is parted by a page, and none is told twice
        assert sum(f"Board {number}" in text for text in pages) == 1


def test_twelve_pieces_on_six_boards_take_two_pages(tmp_path):
    source = planned(tmp_path / "s", "billet_chop", 2, 1)[0]
    boards = tuple(f"board {number}" for number in range(1, 7))
    made = drawn_order(source.study, PlanOptions(blocks=boards))
    save_plan(source, made)
    source = open_source(tmp_path / "s")
    for paper in ("a4", "us-letter"):
        same_as_the_log(source, on_paper(source, made, tmp_path, paper))
        assert len(page_texts(tmp_path / "bench_sheet.pdf")) == 2


def test_a_study_in_inches_is_asked_for_the_unit_beside_the_number(tmp_path):
    source, made = planned(tmp_path, "billet_chop", 2, 1)
    text = (tmp_path / "study.toml").read_text("utf-8")
    assert "mm or in" not in " ".join(page_texts(build_bench_sheet(source, made, tmp_path)[0]))
    (tmp_path / "study.toml").write_text(f'{text}\n[document]\nunits = "inch"\n', "utf-8")
    paper = build_bench_sheet(open_source(tmp_path), made, tmp_path)[0]
    words = re.sub(r"\s+", " ", " ".join(page_texts(paper)))
    assert "Width (mm or in)" in words
    assert "Largest chip, mm or in" in words
    assert "mass (g or oz)" in words
