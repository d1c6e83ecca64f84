"""Tables and figures of the answer as files, or the study as one zip."""

import csv
import zipfile

import pytest

from tests.cli.test_contracts import LOG


def table(path):
    with open(path, encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_a_comparisons_tables_hold_its_numbers(answer, tmp_path):
    log = tmp_path / "log.csv"
    log.write_text(LOG, encoding="utf-8")
    files = answer("export", log, "--limit", 12, "--to", tmp_path / "out")["files"]
    names = {file.rpartition("/")[2] for file in files}
    assert {"lives.csv", "lives.xlsx", "log.csv", "comparison.svg", "wear_curves.png"} <= names
    lives = {row["blade"]: row for row in table(tmp_path / "out" / "lives.csv")}
    for one in answer("fit", log, "--limit", 12):
        assert float(lives[one["blade"]]["life_cuts"]) == pytest.approx(one["life"]["cuts"])
    assert len(table(tmp_path / "out" / "log.csv")) == LOG.count("\n") - 1
    assert (tmp_path / "out" / "comparison.svg").read_text("utf-8").startswith("<?xml")


def test_a_choppers_figures_and_the_zip(answer, sample_run, tmp_path):
    folder = sample_run("camp_hatchet_study")
    files = answer("export", folder, "--zip", tmp_path / "all.zip", "--to", tmp_path / "out")
    assert str(tmp_path / "all.zip") == files["files"][0]
    with zipfile.ZipFile(tmp_path / "all.zip") as archive:
        assert f"{folder.name}/study.toml" in archive.namelist()
    figures = table(tmp_path / "out" / "figures.csv")
    assert {row["blade"] for row in figures} == set(answer("chop", folder)["blades"])
    assert (tmp_path / "out" / "depths.png").read_bytes().startswith(b"\x89PNG")


@pytest.mark.usefixtures("framed_here")
def test_a_chop_tests_strokes_ratio_and_dulling_go_with_it_as_they_are_printed(
    answer, run, sample_run, tmp_path
):
    folder = sample_run("camp_hatchet_study")
    assert run("export", folder, "--to", tmp_path)[0] == 0
    rows = [(*row.values(),) for row in table(tmp_path / "figures.csv")]
    printed, found = run("chop", folder)[1], answer("chop", folder)
    strokes = [row for row in rows if row[1].startswith("Strokes for one piece of ")]
    assert len(strokes) == len(found["as_chopped"]) > 2
    for blade, figure, value, interval in strokes:
        piece, _, count = figure.removeprefix("Strokes for one piece of ").rpartition("; ")
        assert f"{blade}: {value} ({interval}) strokes for {piece}; {count}\n" in printed
    (ratio,) = [row for row in rows if row[1] == "Strokes, H1 over C1"]
    assert f"chops, H1 over C1: {ratio[2]} ({ratio[3]}); H1 takes fewer strokes" in printed
    dulling = [row for row in rows if "dulls" in row[1]]
    assert [row[0] for row in dulling] == ["H1", "C1"]
    for blade, _, value, interval in dulling:
        assert f"{blade} alone: {value} chops per 100 chops ({interval})" in printed
    by_area = [row for row in rows if "by area" in row[1]]
    for blade, _, value, interval in by_area:
        assert f"{blade}: reckoned by area, {value} ({interval}) chops per 100 cm²" in printed
    assert len(by_area) == 2


@pytest.mark.usefixtures("framed_here")
def test_the_rows_of_a_chop_log_go_with_it_as_typed_and_are_read_again(answer, run, tmp_path):
    typed = [
        [
            "blade",
            "kind",
            "order",
            "diameter_mm",
            "chops",
            "chips_count",
            "date",
            "exclude",
            "note",
        ],
        ["H1", "inspection", "0", "", "", "0", "2026-10-03", "", "loupe, window"],
        ["H1", "billet", "1", "52", "18", "0", "2026-10-03", "", ""],
        ["O1", "billet", "1", "52,5", "24-26", "", "2026-10-03", "", ""],
        ["O1", "billet", "2", "2 in", ">40", "", "2026-10-03", "", ""],
        ["H1", "billet", "2", "52", "7", "", "2026-10-03", "split lengthwise", ""],
        ["H1", "billet", "3", "52", "17", "1", "2026-10-03", "", ""],
    ]
    log = tmp_path / "mine.csv"
    with open(log, "w", encoding="utf-8", newline="") as file:
        csv.writer(file, delimiter=";").writerows(typed)
    assert run("export", log, "--to", tmp_path / "out")[0] == 0
    with open(tmp_path / "out" / "log.csv", encoding="utf-8", newline="") as file:
        assert list(csv.reader(file, delimiter=";")) == typed
    mine = answer("chop", log)
    for end in ("csv", "xlsx"):
        again = answer("chop", tmp_path / "out" / f"log.{end}")
        assert {**again, "title": ""} == {**mine, "title": ""}


@pytest.mark.usefixtures("framed_here")
def test_a_study_of_cuts_and_chops_takes_both_logs_away(run, tmp_path):
    log, chops = LOG, "blade,kind,order,diameter_mm,chops\nT1,billet,1,50,12\n"
    names = dict.fromkeys(line.split(",")[0] for line in LOG.splitlines()[1:])
    blades = ", ".join(f'{{id = "{name}"}}' for name in [*names, "T1"])
    (tmp_path / "study.toml").write_text(
        f'title = "Both (invented)"\nprotocol = "sisal_rope"\nblades = [{blades}]\n'
    )
    (tmp_path / "log.csv").write_text(log, encoding="utf-8")
    (tmp_path / "chops.csv").write_text(chops, encoding="utf-8")
    assert run("export", tmp_path, "--to", tmp_path / "out")[0] == 0
    assert table(tmp_path / "out" / "log.csv")[0]["blade"] == next(iter(names))
    assert (tmp_path / "out" / "chops.csv").read_text(encoding="utf-8") == chops


HATCHETS = """
title = "Camp hatchets (invented)"
protocol = "billet_chop"
control = "O1"
blades = [{id = "H1", heat_treatment = "hot"}, {id = "H2", heat_treatment = "hot"},
          {id = "O1", heat_treatment = "cool"}, {id = "O2", heat_treatment = "cool"}]
heat_treatments = [{id = "hot"}, {id = "cool"}]
"""


@pytest.mark.usefixtures("framed_here")
def test_what_a_mean_or_a_ratio_lacks_or_leans_on_goes_with_it(run, tmp_path):
    rows = ["blade,kind,order,board,species,moisture_pct,diameter_mm,chops"]
    for n, (wood, water, mm) in enumerate(
        [("hazel", "green", 45), ("hazel", 12, 45), ("hazel", "green", 45), ("hazel", 12, 45)], 1
    ):
        for blade, strokes in (("H1", 6), ("O1", 9), ("H2", 7), ("O2", 11)):
            rows.append(f"{blade},billet,{n},pole {n},{wood},{water},{mm},{strokes + n % 3}")
        rows += ["O1,touch-up,2,,,,,"] * (n == 2)
    for blade in ("H1", "O1", "H2", "O2"):
        rows.append(f"{blade},billet,5,pole 5,European hornbeam,12,90,>60")
    (tmp_path / "study.toml").write_text(HATCHETS, encoding="utf-8")
    (tmp_path / "chops.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    assert run("export", tmp_path, "--to", tmp_path / "out")[0] == 0
    told = [(*row.values(),) for row in table(tmp_path / "out" / "figures.csv")]
    assert [cell for row in told for cell in row if cell.startswith("'")] == []
    own = {figure: (value, interval) for blade, figure, value, interval in told if blade == "H1"}
    assert len(own) == sum(row[0] == "H1" for row in told)  # no two figures of one name
    green, dry = (f"Strokes for one piece of {word}hazel, round, 45 mm; 2 pieces"
                  for word in ("green ", ""))  # fmt: skip
    assert own[green] != own[dry]
    (bound,) = [own[name] for name in own if "1 piece, not severed" in name]
    assert bound[0] == ""
    assert bound[1].startswith("at least ")
    assert "Strokes, H1 over O1 (their edges were not touched up alike)" in own
    assert sum("by area" in name and name.endswith("; not all pieces severed") for name in own) == 1
    treatments = [row for row in told if row[0] == ""]
    assert [row[1] for row in treatments] == [
        "Heat treatments: chops, cool over hot (of these tools only)"
    ]
    assert f"{treatments[0][2]} ({treatments[0][3]})" in run("chop", tmp_path)[1]


def test_a_steel_with_blades_takes_its_chances_and_its_lives_away(run, sample_run, tmp_path):
    folder = sample_run("plough_disc_study")
    assert run("export", folder, "--to", tmp_path / "out")[0] == 0
    out = tmp_path / "out"
    chances = {row["what"]: float(row["chance, %"]) for row in table(out / "chances.csv")
               if row["kind"] == "serves for"}  # fmt: skip
    assert sum(chances.values()) == pytest.approx(100, abs=0.5)
    lives = {row["blade"] for row in table(out / "lives.csv")}
    assert {"R1", "U1"} <= lives
    assert {"verdict.svg", "comparison.png"} <= {path.name for path in out.iterdir()}


def test_a_zip_goes_into_a_folder_that_is_there(run, sample_run, tmp_path):
    folder = sample_run("plough_disc_study")
    code, out, err = run("export", folder, "--zip", tmp_path / "nowhere" / "all.zip")
    assert (code, out) == (2, "")
    assert err == f"{tmp_path / 'nowhere'}: there is no such folder; make it, or name a file " \
        "elsewhere\n"  # fmt: skip
    assert not list(tmp_path.iterdir())
