"""A piece that is entered late stands where it was chopped, and the program says where."""

import csv
from types import SimpleNamespace

import pytest

from edgetest.store import row_places

HEADING = "blade,kind,order,species,moisture_pct,nominal,orientation,chops,chips_count,result"
LOG = """S1,inspection,0,,,,,,0,
C1,inspection,0,,,,,,0,
S1,lumber,1,Scots pine,12,2x4,flat,15,,
C1,lumber,1,Scots pine,12,2x4,flat,14,,
C1,lumber,2,Scots pine,12,2x4,flat,15,,
S1,inspection,1,,,,,,1,
C1,inspection,1,,,,,,3,
S1,shave,1,,,,,,,fail"""
WOOD = ("species=Scots pine", "moisture_pct=12", "nominal=2x4", "orientation=flat")


@pytest.fixture
def studs(run, tmp_path):
    folder = tmp_path / "studs"
    run("new", folder, "--protocol", "lumber_chop", "--blade", "S1", "--control", "C1")
    (folder / "chops.csv").write_text(f"{HEADING}\n{LOG}\n", encoding="utf-8")
    return folder


def order(folder):
    with (folder / "chops.csv").open(encoding="utf-8") as file:
        return [(row["blade"], row["kind"], row["order"]) for row in csv.DictReader(file)]


def test_a_forgotten_piece_goes_above_the_closing_look(run, studs):
    before = order(studs)
    code, out, _ = run("enter", studs, "blade=S1", "kind=lumber", "order=2", "chops=17", *WOOD)
    assert code == 0
    assert "chops.csv, row 7: S1, lumber 2" in out
    assert "placed: rows are taken in the order of the work" in out
    assert order(studs) == [*before[:5], ("S1", "lumber", "2"), *before[5:]]
    _, told, _ = run("chop", studs)
    assert "S1, after (32 chops): 1 chip by eye" in told
    run("undo", studs)
    assert order(studs) == before


def test_a_date_alone_answers_no_closing_test_so_a_further_piece_goes_above_it(run, tmp_path):
    folder = tmp_path / "dated"
    run("new", folder, "--protocol", "lumber_chop", "--blade", "S1", "--control", "C1")
    closing = "S1,inspection,1,,,,,,,,2026-06-13\nS1,shave,1,,,,,,,,2026-06-13"
    rows = [f"{line},2026-06-13" for line in LOG.splitlines()[2:5]]
    (folder / "chops.csv").write_text("\n".join([f"{HEADING},date", *rows, closing]), "utf-8")
    before = order(folder)
    more = ("order=2", "chops=17", "date=2026-06-13", *WOOD)
    _, out, _ = run("enter", folder, "blade=S1", "kind=lumber", *more)
    assert "placed: rows are taken in the order of the work" in out
    assert order(folder) == [*before[:3], ("S1", "lumber", "2"), *before[3:]]


def test_a_lower_number_goes_above_a_higher_one(run, studs):
    text = f"{HEADING}\n" + "\n".join(x for x in LOG.splitlines() if "S1,lumber" not in x) + "\n"
    (studs / "chops.csv").write_text(text, encoding="utf-8")
    run("enter", studs, "blade=S1", "kind=lumber", "order=2", "chops=17", *WOOD)
    run("enter", studs, "blade=S1", "kind=lumber", "order=1", "chops=15", *WOOD)
    pieces = [row for row in order(studs) if row[1] == "lumber"]
    assert pieces == [(b, "lumber", n) for b, n in
                      (("C1", "1"), ("S1", "1"), ("C1", "2"), ("S1", "2"))]  # fmt: skip


def test_a_piece_that_is_left_out_stands_where_it_was_chopped(run, studs):
    waiting = f"{HEADING}\n{LOG}".replace(
        "C1,lumber,2,Scots pine,12,2x4,flat,15,,", "C1,lumber,2,,,,,,,\nS1,lumber,2,,,,,,,"
    ).replace("S1,inspection,1,,,,,,1,", "S1,inspection,1,,,,,,,")
    (studs / "chops.csv").write_text(f"{waiting}\n", encoding="utf-8")
    before = order(studs)
    extra = ("blade=S1", "kind=lumber", "order=3", "chops=7", "exclude=it split", *WOOD)
    _, out, _ = run("enter", studs, *extra)
    assert "put above row 9 (S1, inspection 1) and below row 7 (S1, lumber 2), which still" in out
    assert order(studs) == [*before[:6], ("S1", "lumber", "3"), *before[6:]]


def test_one_more_piece_goes_above_closing_tests_that_wait(run, studs):
    text = f"{HEADING}\n{LOG}".replace("S1,inspection,1,,,,,,1,", "S1,inspection,1,,,,,,,")
    text = text.replace("S1,shave,1,,,,,,,fail", "S1,shave,1,,,,,,,")
    (studs / "chops.csv").write_text(f"{text}\n", encoding="utf-8")
    run("enter", studs, "blade=S1", "kind=lumber", "order=3", "chops=17", *WOOD)
    assert order(studs).index(("S1", "lumber", "3")) == 5


def test_a_piece_goes_below_what_another_tool_did_before_it_while_closing_rows_wait(run, tmp_path):
    folder = tmp_path / "poles"
    run("new", folder, "--protocol", "billet_chop", "--blade", "H1", "--control", "C1")
    text = (folder / "chops.csv").read_text(encoding="utf-8").splitlines()
    text = [row for row in text if ",billet," not in row]  # the closing rows wait
    (folder / "chops.csv").write_text("\n".join(text) + "\n", encoding="utf-8")
    pole = ("kind=billet", "species=hazel", "moisture_pct=green", "diameter_mm=45", "chops=20")
    turns = [("H1", "1", "A"), ("C1", "1", "A"), ("H1", "2", "B"), ("H1", "3", "C"),
             ("C1", "2", "C")]  # fmt: skip
    for blade, number, board in turns:
        run("enter", folder, f"blade={blade}", f"order={number}", f"board={board}", *pole)
    pieces = [(blade, number) for blade, kind, number in order(folder) if kind == "billet"]
    assert pieces == [(blade, number) for blade, number, _ in turns]
    assert order(folder)[-4:] == [
        (b, k, "1") for k in ("inspection", "shave") for b in ("H1", "C1")
    ]


def test_a_first_look_goes_above_the_work(run, studs):
    text = f"{HEADING}\n{LOG}\n".replace("S1,inspection,0,,,,,,0,\n", "")
    (studs / "chops.csv").write_text(text, encoding="utf-8")
    run("enter", studs, "blade=S1", "kind=inspection", "order=0", "chips_count=1")
    assert order(studs)[1:3] == [("S1", "inspection", "0"), ("S1", "lumber", "1")]


def test_a_piece_that_no_number_places_stands_last_and_that_is_told(run, studs):
    code, out, _ = run("enter", studs, "blade=C1", "kind=lumber", "order=3", "chops=17", *WOOD)
    assert code == 0
    assert order(studs)[-1] == ("C1", "lumber", "3")
    assert "it stands below row 8 (C1, inspection 1)" in out


def test_a_first_look_of_another_day_stays_behind_the_work_of_the_day_before(run, studs):
    days = "\n".join(f"day 1,{row}" for row in LOG.splitlines())
    (studs / "chops.csv").write_text(f"block,{HEADING}\n{days}\n", encoding="utf-8")
    run("enter", studs, "blade=S1", "kind=inspection", "order=0", "chips_count=5", "block=day 2")
    assert order(studs)[-1] == ("S1", "inspection", "0")


def test_a_row_that_was_set_aside_places_nothing(run, studs):
    rows = LOG.splitlines()
    rows[3:3] = ["S1,lumber,12,Scots pine,12,2x4,flat,9,,,wrong number"]
    text = "\n".join(row if row.endswith("wrong number") else f"{row}," for row in rows)
    (studs / "chops.csv").write_text(f"{HEADING},exclude\n{text}\n", encoding="utf-8")
    run("enter", studs, "blade=S1", "kind=lumber", "order=2", "chops=17", *WOOD)
    pieces = [row for row in order(studs) if row[:2] == ("S1", "lumber")]
    assert [number for _, _, number in pieces] == ["1", "12", "2"]


class Rows:
    """Rows of a log as its sheet gives them, first at row 2."""

    def __init__(self, *rows):
        self.held = list(enumerate(rows, 2))

    def rows(self):
        return self.held

    def has(self, line):
        return any(number == line for number, _ in self.held)

    def answers(self, met, _):
        return "chips_count" in met


def stands(blade, order, *, kind="billet", day="", chops="12"):
    cells = {"blade": blade, "kind": kind, "order": order, "chops": chops, "date": day}
    return {name: cell for name, cell in cells.items() if cell}


DATED = [stands("H1", "1", day="21.11.2026"), stands("C1", "1", day="21.11.2026"),
         stands("H1", "2", day="22.11.2026"), stands("C1", "2", day="22.11.2026")]  # fmt: skip
LOOK = stands("H1", "", kind="inspection", day="2026-11-21", chops="")
STUD = stands("H1", "1", kind="lumber", day="2026-11-21")


@pytest.mark.parametrize(
    ("rows", "new", "at"),
    [
        (DATED, STUD, 4),
        (DATED, {**STUD, "date": "22.11.2026"}, None),
        (DATED, LOOK, 4),
        ([*DATED[:2], *DATED[:1:-1]], LOOK, 4),  # above the other tool's later day too
        (DATED, {**LOOK, "kind": "touch-up"}, 4),
        (DATED, {**LOOK, "date": "22.11.2026"}, 5),
        (DATED, {**LOOK, "date": ""}, 5),
        # Below what another tool did the day before, not above it.
        (DATED, {**LOOK, "date": "23.11.2026"}, None),
        ([*DATED, stands("H1", "9", kind="billet", chops="")], {**LOOK, "date": "23.11.2026"}, 6),
        (
            [DATED[0], DATED[1], {**DATED[3], "date": "24.11.2026"}],
            {**LOOK, "date": "23.11.2026"},
            4,
        ),
        (  # the stone of the second day was before its piece
            [
                *DATED[:2],
                stands("H1", "2", kind="touch-up", day="22.11.2026", chops=""),
                *DATED[2:],
            ],
            LOOK,
            4,
        ),
        ([*DATED[:3], {**DATED[3], "date": ""}], STUD, None),  # one piece without its date
        ([*DATED[::-1]], STUD, None),  # dates that fall already
        ([*DATED[:2], stands("C1", "2", chops=""), stands("H1", "2", chops="")], STUD, 4),
        ([*DATED[:2], stands("H1", "2", chops="")], stands("H1", "3"), None),
        ([stands("H1", "1", chops=""), *DATED[1:]], {**STUD, "date": ""}, None),
        (
            [*DATED[:2], stands("H1", "2", chops="")],
            stands("H1", "1", kind="lumber", chops=""),
            None,
        ),
    ],
)
def test_a_chopped_piece_goes_above_later_dates_and_pieces_that_wait(monkeypatch, rows, new, at):
    rules = SimpleNamespace(rules=SimpleNamespace(closing=("inspection",)))
    monkeypatch.setattr(row_places, "load_study", lambda _: rules)
    assert row_places.place_in_work("x", Rows(*rows), new) == at


def dated(studs, *days):
    """The log with a date in each row: of the rows in turn."""
    lines = [f"{line},{day}" for line, day in zip(LOG.splitlines(), days, strict=True)]
    (studs / "chops.csv").write_text(
        "\n".join([f"{HEADING},date", *lines]) + "\n", encoding="utf-8"
    )


def test_a_look_of_a_later_day_goes_behind_that_day_whatever_its_number(run, studs):
    """Its number is that of an earlier day's piece; the date settles where it belongs."""
    dated(studs, *["2026-11-27"] * 4, *["2026-11-28"] * 4)
    with (studs / "chops.csv").open("a", encoding="utf-8") as file:
        for number in (3, 4):
            file.write(f"C1,lumber,{number},Scots pine,12,2x4,flat,15,,,2026-11-28\n")
    before = order(studs)
    _, out, _ = run("enter", studs, "blade=C1", "kind=inspection", "order=3", "chips_count=4",
                    "date=2026-11-29")  # fmt: skip
    assert order(studs) == [*before, ("C1", "inspection", "3")]
    assert "asked" not in out
    run("undo", studs)
    run("enter", studs, "blade=C1", "kind=inspection", "order=9", "chips_count=4",
        "date=2026-11-27")  # fmt: skip
    assert order(studs).index(("C1", "inspection", "9")) == 4  # below C1's only piece of that day


def test_a_piece_of_a_later_day_is_not_asked_about_below_a_closing_test(run, studs):
    dated(studs, *["2026-11-27"] * 8)
    piece = ("enter", studs, "blade=S1", "kind=lumber", "order=3", "chops=17", *WOOD)
    _, out, _ = run(*piece, "date=2026-11-29")
    assert order(studs)[-1] == ("S1", "lumber", "3")
    assert "was it chopped before that" not in out
