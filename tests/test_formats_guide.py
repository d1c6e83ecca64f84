"""The guide to the file formats, held against the program."""

import re
from dataclasses import fields
from pathlib import Path

import pytest

from edgetest.cli.steel_commands import case_command, verdict_command
from edgetest.doubts import Where, catalogue
from edgetest.steel.steel_seen import BREAKS, HEAT_BREAKS, OLD_CRACK
from edgetest.store.blades import Blade
from edgetest.store.chop_log import COLUMNS as CHOP_COLUMNS
from edgetest.store.logs import log_columns, read_log
from edgetest.store.protocol import (
    Cut,
    EdgePreparation,
    Protocol,
    ReadingRule,
    Sources,
    load_protocol,
    protocol_ids,
)
from edgetest.store.records import load_study
from edgetest.study.steel.row_kinds import spaced

GUIDE = Path(__file__).parent.parent / "edgetest" / "guide" / "reference"
FORMATS = (GUIDE / "formats.md").read_text(encoding="utf-8")


def section(title):
    return FORMATS.split(f"## {title}\n")[1].split("\n## ")[0]


def first_cells(text):
    rows = re.findall(r"^\| (`.*?) \|", text, re.MULTILINE)
    return {name for row in rows for name in re.findall(r"`([a-z]\w*)`", row)}


def blocks(kind):
    return re.findall(rf"```{kind}\n(.*?)```", FORMATS, re.DOTALL)


def test_every_column_of_a_log_is_told_and_no_other():
    columns = section("log.csv").split("### What a cell may hold")[0]
    assert first_cells(columns) == set(log_columns())


def test_every_column_of_a_chop_log_is_told_and_no_other():
    assert first_cells(section("chops.csv")) == set(CHOP_COLUMNS)


def test_every_key_of_a_blade_is_told():
    keys = {field.alias or name for name, field in Blade.model_fields.items()}
    assert first_cells(section("study.toml")) == keys


def test_the_study_of_the_guide_loads(tmp_path):
    text = blocks("toml")[0].replace(
        "[[blades]]", '[[blades]]\nid = "C1"\nincluded_angle_deg = 30\n[[blades]]', 1
    )
    (tmp_path / "study.toml").write_text(text, encoding="utf-8")
    study = load_study(tmp_path)
    assert study.limit_value == 12
    assert set(study.scales) == {"x40"}
    assert study.blade("K1").hardness_files.skates == 60


def test_the_log_of_the_guide_reads():
    log = read_log(blocks("csv")[0].encode())
    assert log.faults == ()
    assert len(log.readings("edge_width_um")) == 8


def test_the_command_of_the_guide_answers_from_its_log(tmp_path, run):
    """`edgetest fit mine.csv --reading edge_width_um --limit 12`, as it is printed."""
    line = re.search(r"`edgetest (fit mine\.csv [^`]+)`", FORMATS)[1].split()
    (tmp_path / "mine.csv").write_text(blocks("csv")[0], encoding="utf-8")
    code, out, _ = run(line[0], str(tmp_path / line[1]), *line[2:])
    assert code == 0
    assert re.search(r"^K1: \d+ cuts", out, re.MULTILINE)
    assert re.search(r"^K2: \d+ cuts", out, re.MULTILINE)


def test_the_message_of_the_guide_is_the_programs():
    lines = ["blade,cuts,edge_width_um", *(f"K1,{n},1" for n in range(12)), 'K1,12,"1,234"']
    log = read_log("\n".join(lines).encode(), name="log.csv")
    assert str(log.faults[0]) in FORMATS


@pytest.mark.parametrize("name", protocol_ids())
def test_the_protocols_guide_names_each_with_its_limit(name):
    text = (GUIDE / "protocols.md").read_text(encoding="utf-8")
    row = re.search(rf"^\| `{name}` .*$", text, re.MULTILINE)[0]
    limit = load_protocol(name).limit
    if limit is None:
        assert row.endswith("no limit given |")
    elif limit.reading == "chips_count":
        assert row.endswith("first chip |")
    else:
        assert f" {limit.value:g} " in row.rsplit("|", 2)[1] + " "


@pytest.mark.parametrize("command", [verdict_command, case_command])
def test_the_json_of_a_command_names_its_doubts(command):
    told = command.help
    assert "warnings [{code, text}]" in " ".join(told.split())
    assert "doubts [{code, text, gravity, where}]" in " ".join(told.split())


def test_the_guide_tells_what_a_doubt_holds():
    told = set(re.findall(r"`(\w+)`", section("Doubts in JSON")))
    assert {field.name for field in fields(Where)} <= told | {"value"}
    assert {"decides", "limits", "notes"} == {kind.gravity for kind in catalogue().values()}
    assert {"warnings", "doubts", "gravity", "where", "decides", "limits", "notes"} <= told


def test_what_a_protocol_may_leave_out_is_told_and_no_more():
    told = section("Write a protocol of your own").split("These may be left out:")[1]
    told = told.split("All else is asked for.")[0]
    models = {None: Protocol, "cut": Cut, "edge_preparation": EdgePreparation,
              "readings": ReadingRule, "sources": Sources}  # fmt: skip
    parts = re.split(r"in `\[+(\w+)\]+`", told)
    named = dict(zip([None, *parts[1::2]], parts[::2], strict=True))
    for table, words in named.items():
        free = {name for name, each in models[table].model_fields.items() if not each.is_required()}
        if table == "edge_preparation":
            assert "both angles" in words
            assert free == {"angle_per_side_deg", "included_angle_given_deg"}
        else:
            assert set(re.findall(r"`\[*(\w+)\]*`", words)) == free, table


def test_the_breaks_of_a_piece_and_of_a_heat_are_those_that_are_taken():
    piece, heat = re.findall(r'^fracture = "(.*?)^\w+ = ', FORMATS, re.MULTILINE | re.DOTALL)
    for told, taken in ((piece, BREAKS), (heat, HEAT_BREAKS)):
        words = " ".join(told.replace("#", "").split())
        assert [word for word in map(spaced, taken) if word not in words] == []
        assert ("old crack" in words) is (OLD_CRACK in taken)
