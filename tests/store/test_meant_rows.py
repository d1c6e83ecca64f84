"""What a row leaves open is filled from the only row it can mean; where two can be, it is asked."""

import csv

import pytest

HEADING = "blade,kind,order,block,board,species,moisture_pct,width_mm,thickness_mm,chops,near_misses,chips_count"  # noqa: E501
WOOD = ("species=Scots pine", "moisture_pct=12", "width_mm=50", "thickness_mm=50")
LOG = """A,inspection,0,,,,,,,,,
A,billet,1,,board 1,,,,,,,
A,billet,2,,board 2,,,,,,,
A,billet,3,,board 3,,,,,,,
A,inspection,1,,,,,,,,,"""


@pytest.fixture
def billets(run, tmp_path):
    folder = tmp_path / "billets"
    run("new", folder, "--protocol", "billet_chop", "--blade", "A")
    write(folder, LOG)
    return folder


def write(folder, rows):
    (folder / "chops.csv").write_text(f"{HEADING}\n{rows}\n", encoding="utf-8")


def rows(folder):
    with (folder / "chops.csv").open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


def test_a_piece_without_its_board_fills_the_row_that_waits(run, billets):
    code, out, _ = run("enter", billets, "blade=A", "kind=billet", "order=2", "chops=14", *WOOD)
    assert code == 0
    assert "chops.csv, row 4: A, billet 2" in out
    assert len(rows(billets)) == 5
    assert (rows(billets)[2]["board"], rows(billets)[2]["chops"]) == ("board 2", "14")


def test_what_was_left_out_of_a_piece_is_put_into_its_row(run, billets):
    run("enter", billets, "blade=A", "kind=billet", "order=2", "chops=14", *WOOD)
    code, _, _ = run("enter", billets, "blade=A", "kind=billet", "order=2", "near_misses=0")
    assert code == 0
    assert len(rows(billets)) == 5
    assert rows(billets)[2]["near_misses"] == "0"
    code, _, err = run("enter", billets, "blade=A", "kind=billet", "order=2", "chops=19", *WOOD)
    assert code != 0
    assert 'row 4: chops says "14" already, "19" was not written' in err
    code, _, err = run("enter", billets, "blade=A", "kind=billet", "order=2", "chops=14", *WOOD)
    assert code != 0
    assert "row 4: all of this stands there already, and nothing was written" in err


def test_a_board_of_another_name_than_the_row_that_waits_is_asked_about(run, billets):
    before = rows(billets)
    piece = ("blade=A", "kind=billet", "order=1", "chops=17", *WOOD)
    code, _, err = run("enter", billets, *piece, "board=1")
    assert code != 0
    assert 'billet 1 of A waits in row 3 and is of "board 1"; "1" was not written' in err
    assert err.strip().endswith("; a further piece has an order of its own, order=4")
    assert "leave board out" in err
    assert rows(billets) == before
    code, _, _ = run("enter", billets, *piece, "board=board 1")
    assert code == 0
    assert len(rows(billets)) == 5


@pytest.mark.parametrize("order", ["", "2"])
def test_counts_after_a_touch_up_that_stands_are_no_second_touch_up(run, billets, order):
    write(billets, f"A,touch-up,{order},,,,,,,,,\nA,billet,1,9,one,,,,,,,")
    counts = ("chips_count=2", "rolls_count=0")
    code, _, err = run("enter", billets, "--replace", "blade=A", "kind=touch-up", *counts)
    assert code == 2
    assert "what was seen after the touch-up of row 2 is a look of its own" in err
    assert "a row of the kind inspection with the counts right below it" in err
    assert "leave --replace out to enter it" not in err
    code, _, err = run("enter", billets, "--replace", "blade=A", "kind=inspection", *counts)
    assert code == 2
    assert "leave --replace out to enter it" in err


def test_each_board_may_number_its_own_pieces(run, billets):
    write(billets, "A,billet,1,,one,,,,,,,\nA,billet,2,,one,,,,,,,\nA,billet,1,,two,,,,,,,")
    code, _, _ = run("enter", billets, "blade=A", "kind=billet", "order=2", "chops=9", *WOOD,
                     "board=two")  # fmt: skip
    assert code == 0
    assert len(rows(billets)) == 4
    code, _, err = run("enter", billets, "blade=A", "kind=billet", "order=1", "chops=9", *WOOD)
    assert code != 0
    assert "billet 1 of A waits in rows" in err
    assert "say of which board it was" in err


def test_a_look_without_a_number_is_the_first_before_the_work_and_the_last_behind_it(run, billets):
    run("enter", billets, "blade=A", "kind=inspection", "chips_count=0")
    assert rows(billets)[0]["chips_count"] == "0"
    for number in (1, 2, 3):
        run("enter", billets, "blade=A", "kind=billet", f"order={number}", "chops=14", *WOOD)
    run("enter", billets, "blade=A", "kind=inspection", "chips_count=3")
    assert len(rows(billets)) == 5
    assert rows(billets)[4]["chips_count"] == "3"


def test_a_piece_whose_count_was_lost_fills_its_row_with_the_reason(run, billets):
    lost = ("blade=A", "kind=billet", "order=2", "chops=14", "exclude=lost count", *WOOD)
    code, _, _ = run("enter", billets, *lost)
    assert code == 0
    assert len(rows(billets)) == 5
    told = rows(billets)[2]
    assert (told["board"], told["chops"], told["exclude"]) == ("board 2", "14", "lost count")


def test_a_piece_that_is_excluded_is_taken_as_typed(run, billets):
    code, _, _ = run("enter", billets, "blade=A", "kind=billet", "order=1", "chops=17", *WOOD,
                     "board=1", "exclude=split along the grain")  # fmt: skip
    assert code == 0
    assert len(rows(billets)) == 6


def test_a_look_after_more_work_is_another_than_the_last_without_a_number(run, billets):
    done = "A,billet,1,,one,ash,12,50,50,9,0,\nA,inspection,,,,,,,,,,0"
    write(billets, done)
    code, _, err = run("enter", billets, "blade=A", "kind=inspection", "chips_count=0")
    assert code != 0  # nothing was chopped since
    assert "a further piece or look has an order of its own" in err
    write(billets, f"{done}\nA,billet,2,,one,ash,12,50,50,9,0,")
    assert run("enter", billets, "blade=A", "kind=inspection", "chips_count=0")[0] == 0
    assert [(row["kind"], row["order"]) for row in rows(billets)[1:]] == [
        ("inspection", ""), ("billet", "2"), ("inspection", ""),
    ]  # fmt: skip


def test_a_look_without_a_number_is_of_the_last_piece_and_of_no_row_above_it(run, billets):
    piece = "A,billet,{},,one,ash,12,50,50,9,0,".format
    photo = "A,inspection,,,,,,,,,,"
    write(billets, "\n".join([photo, piece(1), piece(2), "A,inspection,1,,,,,,,,,0", piece(""),
                              "A,inspection,,,,,,,,,,1", piece("")]))  # fmt: skip
    code, out, _ = run("enter", billets, "blade=A", "kind=inspection", "chips_count=2")
    assert (code, "asked: when" in out) == (0, False), out
    held = rows(billets)
    assert (held[-1]["kind"], held[-1]["order"], held[-1]["chips_count"]) == ("inspection", "", "2")
    assert held[0]["chips_count"] == ""  # a look of before the work is filled by no count of now


def test_what_was_forgotten_is_filled_into_the_row_that_stands(run, billets):
    write(
        billets, LOG.replace("billet,1,,board 1,,,,,,", "billet,1,,board 1,Scots pine,12,50,50,17,")
    )
    for told in (("chips_count=0",), ("note=a knot", "chops=17")):
        code, out, _ = run("enter", billets, "blade=A", "kind=billet", "order=1", *told)
        assert (code, len(rows(billets))) == (0, 5), out
    filled = rows(billets)[1]
    assert (filled["chops"], filled["chips_count"], filled["note"]) == ("17", "0", "a knot")
    for more in ((), ("near_misses=2",)):
        code, _, err = run("enter", billets, "blade=A", "kind=billet", "order=1", "chops=71", *more)
        assert code == 2
        assert 'chops says "17" already, "71" was not written' in err
        assert "--replace" in err
        assert rows(billets)[1] == filled


@pytest.mark.parametrize("order", ["1", ""])
def test_a_trial_without_its_result_takes_it_and_a_second_trial_is_a_new_row(run, billets, order):
    write(billets, f"{LOG}\nA,nail,{order},,,,,,,,,1")
    told = ("blade=A", "kind=nail", *([f"order={order}"] if order else []), "result=fail")
    assert run("enter", billets, *told)[0] == 0
    assert [row["result"] for row in rows(billets) if row["kind"] == "nail"] == ["fail"]
    assert run("enter", billets, "blade=A", "kind=nail", "order=2", "result=pass")[0] == 0
    assert len(rows(billets)) == 7


def test_a_cell_for_a_row_that_stands_without_its_sides_is_told_by_that_row(run, billets):
    write(billets, "A,billet,1,,board 1,Scots pine,12,,,14,,")
    code, _, err = run("enter", billets, "blade=A", "kind=billet", "order=1", "near_misses=0")
    assert code != 0
    assert "chops.csv, row 2, width_mm: a severed billet without its cross-section" in err
    assert "new row" not in err


def test_a_piece_that_stands_is_left_out_in_its_row(run, billets):
    assert run("enter", billets, "blade=A", "kind=billet", "order=1", "chops=17", *WOOD)[0] == 0
    many = len(rows(billets))
    code, _, err = run("enter", billets, "blade=A", "kind=billet", "order=1", "exclude=split")
    assert (code, err) == (0, "")
    left = [row for row in rows(billets) if row["exclude"]]
    assert [(row["order"], row["chops"]) for row in left] == [("1", "17")]
    assert len(rows(billets)) == many


@pytest.fixture
def threads(run, tmp_path):
    folder = tmp_path / "threads"
    run("new", folder, "--protocol", "sisal_rope", "--blade", "W1")
    return folder


def _log(folder, *lines):
    heading = "blade,cuts,station_mm,check_no,sever_force_gf,grade,block"
    (folder / "log.csv").write_text("\n".join([heading, *lines]) + "\n", encoding="utf-8")


def _of_log(folder):
    return (folder / "log.csv").read_text(encoding="utf-8").splitlines()


def test_a_reading_that_names_no_place_is_of_the_only_one_of_the_log(run, threads):
    """A second reading of one row is no row of its own because its place was not typed."""
    _log(threads, "W1,0,40,1,204,,coil", "W1,400,40,1,5480,,coil", "W1,400,40,2,528,,coil")
    typed = ("blade=W1", "cuts=400", "check_no=1", "sever_force_gf=548")
    before = _of_log(threads)
    code, _, err = run("enter", threads, *typed)
    assert code != 0
    assert 'row 3: sever_force_gf says "5480" already, "548" was not written' in err
    assert _of_log(threads) == before
    assert run("enter", threads, *typed, "--replace")[0] == 0
    assert _of_log(threads)[2] == "W1,400,40,1,548,,coil"
    assert run("enter", threads, "blade=W1", "cuts=400", "check_no=3", "sever_force_gf=530")[0] == 0
    assert _of_log(threads)[4] == "W1,400,40,3,530,,coil"


def test_a_reading_that_names_no_place_is_asked_for_it_where_the_stage_has_several(run, threads):
    _log(threads, "W1,400,20,1,540,,coil", "W1,400,40,1,528,,coil")
    before = _of_log(threads)
    code, _, err = run("enter", threads, "blade=W1", "cuts=400", "sever_force_gf=548")
    assert code != 0
    assert "stands at 20, 40 mm along the edge" in err
    assert "station_mm=20" in err
    assert _of_log(threads) == before


def test_a_reading_that_other_stages_hold_without_a_place_needs_none(run, threads):
    _log(threads, "W1,0,,1,204,,coil", "W1,400,20,1,,,coil")
    assert run("enter", threads, "blade=W1", "cuts=400", "grade=shaves")[0] == 0
    assert run("enter", threads, "blade=W1", "cuts=400", "sever_force_gf=548")[0] == 0
    assert _of_log(threads)[-1].startswith("W1,400,,,548")
