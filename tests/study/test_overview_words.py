"""The overview in lines, from counts alone."""

from types import SimpleNamespace

import pytest

from edgetest.store.cells import parse_life
from edgetest.store.chop_log import ChopRow
from edgetest.study.overview import Overview, overview, overview_of_faults, steel_alone
from edgetest.study.sources import open_source

BLADE = {"blade": "A", "heat_treatment": "hard", "angle": "15° per side", "hardness": "",
         "stages": "0, 10"}  # fmt: skip


def lines(**more):
    facts = {
        "title": "Rope", "protocol": "", "rows": 3, "blades": (BLADE,),
        "readings": ("edge_width_um",), "photos": 2, "photos_missing": (), "excluded": (),
        "faults": (),
    }  # fmt: skip
    return Overview(**facts | more).summary().splitlines()


FAULT = {"where": "log.csv, row 2", "what": "is wrong", "mend": "mend it"}
DEPARTED = {"of": "stages", "asked": "0 cuts", "done": "none read", "means": "m"}


def test_a_log_is_told_by_its_rows_blades_and_readings():
    assert lines() == [
        "Rope",
        "3 rows, 1 blade, readings: edge_width_um, 2 photographs",
        "  A: hard, 15° per side, stages 0, 10",
        "No fault found.",
    ]
    assert lines(invented=True, protocol="Sisal")[:2] == ["Rope (invented data)", "protocol: Sisal"]


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ({"readings": ()}, ["3 rows, 1 blade, readings: from photographs, 2 photographs"]),
        ({"rows": 1, "photos": 1}, ["1 row, 1 blade, readings: edge_width_um, 1 photograph"]),
        ({"rows": 0, "chop_rows": 1, "photos": 1}, ["1 row of chopping, 1 blade, 1 photograph"]),
        ({"waiting": 2}, ["3 rows (2 of them still to fill in), 1 blade, "
                          "readings: edge_width_um, 2 photographs"]),
        ({"rows": 0, "chop_rows": 4}, ["4 rows of chopping, 1 blade, 2 photographs"]),
        ({"rows": 0, "chop_rows": 4, "waiting": 2},
         ["6 rows of chopping (2 of them still to fill in), 1 blade, 2 photographs"]),
        ({"rows": 0, "waiting": 2},
         ["2 rows of chopping (2 of them still to fill in), 1 blade, 2 photographs"]),
        ({"chop_rows": 4, "waiting": 1},
         ["3 rows (1 of them still to fill in), 1 blade, readings: edge_width_um, 2 photographs",
          "4 rows of chopping, 1 blade, 2 photographs"]),
        ({"rows": 0, "readings": ()}, ["0 rows, 1 blade, readings: from photographs, "
                                       "2 photographs"]),
        ({"steel_alone": True}, ["found steel alone: `edgetest verdict` says what does not "
                                  "fit and what is next"]),
    ],
)  # fmt: skip
def test_what_the_logs_hold_is_a_line_each(more, told):
    assert lines(**more)[1:-2] == told


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"rows": 0, "chop_rows": 1}, "rows: 0, 10"),
        ({"readings": ("life",)}, "life 0, 10"),
        ({"blades": ({**BLADE, "stages": ""},)}, "no reading yet"),
    ],
)
def test_a_blade_is_told_by_what_was_done_with_it(more, words):
    assert lines(**more)[2] == f"  A: hard, 15° per side, {words}"


def test_everything_else_is_told_in_its_order():
    said = lines(
        left_out=("A (row 2): slip",), mishaps=("A (row 3): fell",), photos_missing=("a.png",),
        departures=(DEPARTED,), waiting=1, departures_wait=True, same_pictures=("Two are one.",),
        asked=(FAULT,), faults=(FAULT, FAULT),
    )  # fmt: skip
    after = said.index("left out: A (row 2): slip")
    # What is wrong comes before all that it may have made wrong too.
    assert said[:after].count("fault: log.csv, row 2: is wrong; mend it") == 2
    assert "still to fill in" not in " ".join(said[:after])
    assert said[after:] == [
        "left out: A (row 2): slip",
        "mishap, and it counts: A (row 3): fell",
        "photograph missing: a.png",
        "1 row still waits to be filled in; of what was read so far:",
        "different from the protocol, or added to it; these are not faults, and the document "
        "lists them:",
        "  stages: the protocol asks for 0 cuts; none read",
        "where the chopping differs from the protocol is listed here once every row of it is "
        "filled in; `edgetest chop` lists it for the rows so far",
        "doubt: Two are one.",
        "asked: log.csv, row 2: is wrong; mend it",
        "2 faults; 1 question above, marked asked.",
    ]
    assert lines(faults=(FAULT,))[-1] == "1 fault."
    assert len(lines(waiting=1)) == len(lines(departures=(DEPARTED,))) - 2


def test_a_study_that_cannot_be_read_tells_its_faults_alone():
    fault = SimpleNamespace(**FAULT)
    found = overview_of_faults("a/b", SimpleNamespace(faults=[fault]))
    assert found.summary().splitlines()[0] == "a/b"
    assert found.to_dict()["faults"] == [FAULT]
    assert found.to_dict()["photos"] == 0
    assert "opened" not in found.to_dict()
    assert found.summary().splitlines()[1:] == [
        "fault: log.csv, row 2: is wrong; mend it", "1 fault.",
    ]  # fmt: skip


@pytest.mark.parametrize("of", ["", "study.toml"])
def test_faults_of_chops_are_told_beside_those_of_the_study(tmp_path, of):
    (tmp_path / "chops.csv").write_text("blade,kind,chops\nK1,billet,twelve\n", "utf-8")
    (tmp_path / "log.csv").write_text("blade,cuts\nK1,2\n", "utf-8")
    (tmp_path / "study.toml").write_text("", "utf-8")
    faults = SimpleNamespace(faults=[SimpleNamespace(**FAULT)])
    found = overview_of_faults(tmp_path / of, faults)
    told = found.summary().splitlines()
    assert [line.split(": ")[1] for line in told if line.startswith("fault: ")] == [
        "log.csv, row 2", "chops.csv, row 2, chops",
    ]  # fmt: skip
    assert found.unread == ("log.csv",)
    assert "log.csv: is read once those are mended" in told
    (tmp_path / "chops.xlsx").write_text("", "utf-8")
    assert overview_of_faults(tmp_path, faults).faults == (FAULT,)


@pytest.mark.parametrize(
    ("steel", "rows", "chops", "alone"),
    [(True, 0, None, True), (True, 1, None, False), (True, 0, 0, True), (True, 0, 1, False),
     (False, 0, None, False)],
)  # fmt: skip
def test_a_study_of_steel_alone_has_no_row(steel, rows, chops, alone):
    held = None if chops is None else SimpleNamespace(rows=[None] * chops)
    source = SimpleNamespace(study=SimpleNamespace(of_steel=steel), chops=held,
                             log=SimpleNamespace(rows=[None] * rows))  # fmt: skip
    assert steel_alone(source) is alone
    assert steel_alone(SimpleNamespace(**vars(source) | {"study": None})) is False


HEAD = """title = "Rope"
protocol = "sisal_rope"
[[heat_treatments]]
id = "hard"
[[blades]]
id = "A"
heat_treatment = "hard"
angle_per_side_deg = 15
hardness_hrc = [59.5, 60]
[[blades]]
id = "B"
hardness_files = { skates = 55, bites = 60 }
[[blades]]
id = "C"
hardness_files = { bites = 60 }
[[blades]]
id = "D"
hardness_target_hrc = 61
"""


def test_blades_are_told_with_what_was_measured_and_never_with_a_target(tmp_path, answer):
    (tmp_path / "study.toml").write_text(HEAD, "utf-8")
    (tmp_path / "log.csv").write_text(
        "blade,block,cuts,edge_width_um,exclude\nA,r1,10,4,\nA,r1,50,9,slip\nA,r2,5,3,\n"
        "B,r1,0,3,\n", "utf-8",
    )  # fmt: skip
    found = answer("check", tmp_path)
    told = {blade["blade"]: blade for blade in found["blades"]}
    assert [told[name]["hardness"] for name in "ABCD"] == [
        "59.5, 60 HRC measured", "file 55 skates, file 60 bites", "file 60 bites", "",
    ]  # fmt: skip
    assert (told["A"]["stages"], told["B"]["stages"]) == ("5, 10, 50", "0")
    assert told["A"]["heat_treatment"] == "hard"
    assert found["excluded"] == [{"row": 3, "blade": "A", "reason": "slip"}]
    assert found["left_out"] == ["A (row 3): slip"]
    assert found["rows"] == 4
    assert not found["invented"]


def test_lives_as_noted_and_pieces_as_chopped_stand_beside_a_blade(tmp_path, answer):
    (tmp_path / "lives.csv").write_text("blade,life\nA,340\nA,>150\nA,320-340\n", "utf-8")
    (blade,) = answer("check", tmp_path / "lives.csv")["blades"]
    assert blade["stages"] == "340, >150, 320-340"
    assert parse_life(">150").lower == 150
    (tmp_path / "chops.csv").write_text(
        "blade,kind,order,chops,width_mm,thickness_mm,result\nA,billet,1,20,50,50,\n"
        "A,billet,2,,50,50,\nA,shave,,,,,pass\nA,billet,3,21,50,50,\n", "utf-8",
    )  # fmt: skip
    found = answer("check", tmp_path / "chops.csv")
    assert found["blades"][0]["stages"] == "2 billet, 1 shave"
    assert (found["chop_rows"], found["waiting"]) == (3, 1)
    assert not found["departures_wait"]
    assert ChopRow(2, "A", "billet").waiting


@pytest.mark.parametrize(
    ("text", "said"),
    [("a = 1\n", "a: is not a table"), ("[edge_width_um]\nsd_repeat = nan\n", "sd_repeat"),
     ("[[[\n", "not valid TOML")],
)  # fmt: skip
def test_a_fault_of_the_kept_repeatability_is_listed_with_the_others(text, said, tmp_path):
    (tmp_path / "study.toml").write_text(
        'title = "T"\nprotocol = "sisal_rope"\n[[blades]]\nid = "A"\n', "utf-8"
    )
    (tmp_path / "log.csv").write_text("blade,cuts,edge_width_um\nA,0,3\n", "utf-8")
    (tmp_path / "repeatability.toml").write_text(text, "utf-8")
    told = overview(open_source(tmp_path)).faults
    assert any(one["where"].startswith("repeatability.toml") for one in told)
    assert any(said in f"{one['where']}: {one['what']}" for one in told)
