"""`edgetest chop`: its JSON and its errors; its document; and what `check` says of a chop log."""

import json
import shutil

import pytest

from edgetest.cli import main
from edgetest.store.places import shipped

RUN = "camp_hatchet_study"


@pytest.fixture(scope="module")
def folder(sample_run):
    return sample_run(RUN)


@pytest.fixture(scope="module")
def small(tmp_path_factory):
    """A study of two billets, without photographs and shapes."""
    place = tmp_path_factory.mktemp("small")
    (place / "study.toml").write_text(
        'title = "Small"\nprotocol = "billet_chop"\n[[blades]]\nid = "K1"\n'
        "angle_per_side_deg = 20\n",
        encoding="utf-8",
    )
    (place / "chops.csv").write_text(
        "blade,kind,order,chops,width_mm,thickness_mm,species,moisture_pct\n"
        "K1,billet,1,20,50,50,white ash,12\nK1,billet,2,22,50,50,white ash,12\n",
        encoding="utf-8",
    )
    return place


def run(capsys, *arguments):
    with pytest.raises(SystemExit) as done:
        main([str(argument) for argument in arguments])
    out, err = capsys.readouterr()
    return done.value.code, out, err


@pytest.mark.parametrize("study", [True, False])
def test_the_cautions_of_the_test_end_the_text_and_stand_in_json(capsys, small, study):
    source = small if study else small / "chops.csv"
    _, text, _ = run(capsys, "chop", source)
    _, out, _ = run(capsys, "chop", source, "--json")
    cautions = json.loads(out)["cautions"]
    assert text.rstrip().splitlines()[-len(cautions) :] == [f"Mind: {c}" for c in cautions]
    assert "nobody in the plane of it" in cautions[0]
    assert any("Stop at a crack." in c for c in cautions)
    assert any("Clamp the billet" in c for c in cautions) == study  # the protocol's own words


def test_json_holds_every_part(folder, capsys):
    code, out, err = run(capsys, "chop", folder, "--json")
    assert (code, err) == (0, "")
    document = json.loads(out)
    rates = {each["blade"]: each["chops_per_100_cm2"] for each in document["counts"]["blades"]}
    assert set(rates["H1"]) == {
        "value",
        "low",
        "high",
        "unit",
        "level",
        "method",
        "warnings",
        "doubts",
    }
    assert rates["H1"]["low"] < rates["H1"]["value"] < rates["H1"]["high"]
    assert {each["when"] for each in document["damage"]} == {"before", "after", "during"}
    assert document["tools"][0]["measured"]["percussion_mm"]["unit"] == "mm"
    assert document["control"] == "C1"


def test_json_tells_what_photographs_show_beside_a_count_by_eye(folder, answer):
    found = answer("chop", folder, "--damage-from", "log")["growth"]
    beside = {(one["blade"], one["kind"]): one["photographed"] for one in found}
    by_photographs = answer("chop", folder)["growth"]
    assert by_photographs
    assert beside == {
        (one["blade"], one["kind"]): {
            "at_least": one["new_at_least"], "at_most": one["new_at_most"],
            "edge_length_mm": one["edge_length_mm"],
        }
        for one in by_photographs
    }  # fmt: skip


def test_text_says_the_figures_and_the_doubts(folder, capsys):
    code, out, _ = run(capsys, "chop", folder, "--thinner", "H1", "250", "4 mm")
    assert code == 0
    assert "chops per 100 cm² of coast Douglas-fir" in out
    assert (
        "H1, if it tapered from 250 mm from the butt to a thickness of 4 mm at the tip: mass "
        in out
    )
    assert "not tested: flex, bend, nail, bone" in out


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--reference-wood", "plastic"), '"plastic" is not in the table of woods'),
        (("--thinner", "K1", "a", "b"), "--thinner: "),
        (("--thinner", "K1", "90", "1"), "K1 has no shape with grip and strike point"),
        (("--against", "X"), 'against: "X" is not in the chop log; known: K1'),
    ],
)
def test_unusable_wishes_are_one_line(small, capsys, arguments, words):
    code, out, err = run(capsys, "chop", small, *arguments)
    assert (code, out) == (2, "")
    assert words in err
    assert err.count("\n") == 1


def test_a_study_of_cuts_has_no_chops(capsys):
    code, _, err = run(capsys, "chop", shipped("sample_runs") / "billhook_temper_study")
    assert code == 2
    assert "there is no chops.csv or chops.xlsx here" in err


def test_fit_sends_a_chop_test_to_chop(small, capsys):
    code, _, err = run(capsys, "fit", small)
    assert code == 2
    assert "use `edgetest chop`" in err


def test_check_counts_the_rows_and_finds_every_fault(folder, capsys, tmp_path):
    code, out, _ = run(capsys, "check", folder, "--json")
    found = json.loads(out)
    assert (code, found["chop_rows"], found["photos"], found["faults"]) == (0, 50, 6, [])
    copy = tmp_path / "copy"
    shutil.copytree(folder, copy)
    text = (copy / "chops.csv").read_text(encoding="utf-8")
    (copy / "chops.csv").write_text(
        text.replace(",American beech,", ",ironbark,"), encoding="utf-8"
    )
    toml = (copy / "study.toml").read_text(encoding="utf-8")
    toml = toml.replace("strike_mm = 302", "strike_mm = 30")
    (copy / "study.toml").write_text(toml.replace("C1_silhouette.jpg", "x.jpg"), encoding="utf-8")
    code, out, _ = run(capsys, "check", copy, "--json")
    faults = json.loads(out)["faults"]
    assert code == 2
    assert faults[0]["where"].count(", ") == 5  # four rows in one fault
    assert [fault["where"].partition(", ")[0] for fault in faults] == [
        "chops.csv", "study.toml", "study.toml",
    ]  # fmt: skip
    assert 'there is no "photos/x.jpg"' in faults[-1]["what"]


def test_check_reads_a_chop_log_on_its_own(folder, capsys, tmp_path):
    log = tmp_path / "mine.csv"
    log.write_text("blade,kind,chops\nK1,billet,twelve\n", encoding="utf-8")
    code, out, _ = run(capsys, "check", log)
    assert code == 2
    assert "mine.csv, row 2, chops" in out


def test_chop_tells_a_few_faults_whole_and_check_lists_those_that_it_sends_for(capsys, tmp_path):
    log = tmp_path / "short.csv"
    log.write_text("blade,chops,hatch,other\nK1,many,3,4\n", encoding="utf-8")
    code, _, few = run(capsys, "chop", log)
    _, listed, _ = run(capsys, "check", log)
    assert code == 2
    assert len(few.splitlines()) > 1
    assert all(f"fault: {each}" in listed for each in few.strip().splitlines())
    rows = "".join(f"K1,felling {n},many {n},3\n" for n in range(8))
    log.write_text(f"blade,kind,chops,hatch\n{rows}", encoding="utf-8")
    code, _, err = run(capsys, "chop", log)
    *first, more = err.strip().splitlines()
    assert (code, len(first)) == (2, 5)
    assert more.partition(" more")[2] == "; `edgetest check` lists them all"
    code, out, _ = run(capsys, "check", log)
    assert code == 2
    assert all(f"fault: {each}" in out for each in first)
    assert f"{int(more.split()[1]) + 5} faults." in out


def test_a_mishap_whose_row_counts_is_told(answer, run, sample_run):
    folder = sample_run("camp_hatchet_study")
    log = folder / "chops.csv"
    lines = log.read_text(encoding="utf-8").splitlines()
    column = lines[0].split(",").index("mishap")
    cells = lines[5].split(",")
    cells[column] = "the billet rolled"
    log.write_text("\n".join([*lines[:5], ",".join(cells), *lines[6:]]) + "\n", encoding="utf-8")
    told = [one for one in answer("chop", folder)["doubts"] if one["code"] == "mishap_kept"]
    assert [f"{cells[0]} (row 6): the billet rolled" in one["text"] for one in told] == [True]
    assert "the billet rolled" in run("chop", folder)[1]


def test_a_look_by_photograph_alone_holds_back_no_departure(sample_run, answer):
    known = answer("check", sample_run("camp_hatchet_study"))
    assert known["departures_wait"] is False
    assert [each["of"] for each in known["departures"]][:2] == ["size", "wood"]


def test_check_says_that_departures_are_held_back_while_rows_wait(small, tmp_path, capsys):
    place = shutil.copytree(small, tmp_path / "begun")
    code, out, _ = run(capsys, "check", place, "--json")
    known = json.loads(out)
    assert code == 0
    assert known["departures"]
    assert known["departures_wait"] is False
    with (place / "chops.csv").open("a", encoding="utf-8") as log:
        log.write("K1,billet,3,,,,,\n")
    code, out, _ = run(capsys, "check", place, "--json")
    known = json.loads(out)
    assert code == 0
    assert known["departures"] == []
    assert known["departures_wait"] is True
    assert "once every row of it is filled in" in run(capsys, "check", place)[1]
    assert json.loads(run(capsys, "chop", place, "--json")[1])["departures"]


@pytest.mark.parametrize("photographed", [True, False])
def test_measure_sends_a_chop_test_to_what_measures_its_side_views(
    capsys, folder, small, photographed
):
    code, out, err = run(capsys, "measure", folder if photographed else small)
    assert (code, out) == (2, "")
    assert err.startswith("chops.csv: ")
    assert "log.csv" not in err
    assert "`edgetest chop" in err
    assert "`edgetest profile" in err
    assert ("photographs of a chop test are side views" in err) == photographed
