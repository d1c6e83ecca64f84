"""A log that is there already becomes a study, with the blades and heat treatments it names."""

import pytest

from edgetest.store.export import xlsx_bytes
from edgetest.store.records import load_study
from tests.cli.test_contracts import LOG

CHOPS = "blade,kind,order,chops,width_mm,thickness_mm\nH1,billet,1,20,50,50\nC1,billet,1,25,50,50\n"


@pytest.fixture
def log(tmp_path):
    path = tmp_path / "old log.csv"
    path.write_text(LOG, encoding="utf-8")
    return path


def make(run, folder, path, *more, protocol="sisal_rope"):
    return run("new", folder, "--protocol", protocol, "--from", path, *more)


def test_blades_heat_treatments_and_rows_are_the_logs(run, answer, log, tmp_path):
    folder = tmp_path / "s"
    code, _, err = make(run, folder, log)
    assert code == 0, err
    study = load_study(folder)
    assert [blade.id for blade in study.blades] == [f"{t}{n}" for t in ("soft", "hard")
                                                    for n in (1, 2, 3)]  # fmt: skip
    assert [each.id for each in study.heat_treatments] == ["soft", "hard"]
    assert (folder / "log.csv").read_text("utf-8") == LOG
    assert log.read_text("utf-8") == LOG
    alone, of_study = answer("compare", log, "--limit", 12), answer("compare", folder)
    assert alone["ratio"]["estimate"] == pytest.approx(of_study["ratio"]["estimate"])


def test_a_workbook_stays_one(run, tmp_path):
    path = tmp_path / "log.xlsx"
    path.write_bytes(xlsx_bytes([line.split(",") for line in LOG.splitlines()]))
    assert make(run, tmp_path / "s", path)[0] == 0
    assert (tmp_path / "s" / "log.xlsx").is_file()
    assert not (tmp_path / "s" / "log.csv").exists()
    assert run("check", tmp_path / "s")[0] == 0


def test_a_log_of_chops(run, tmp_path):
    path = tmp_path / "chops.csv"
    path.write_text(CHOPS, encoding="utf-8")
    assert make(run, tmp_path / "s", path, protocol="billet_chop")[0] == 0
    assert (tmp_path / "s" / "chops.csv").read_text("utf-8") == CHOPS
    assert [blade.id for blade in load_study(tmp_path / "s").blades] == ["H1", "C1"]


def test_a_log_with_a_fault_makes_nothing(run, log, tmp_path):
    log.write_text(LOG + "soft1,soft,much,2.4\n", encoding="utf-8")
    code, _, err = make(run, tmp_path / "s", log)
    assert code == 2
    assert "cuts" in err
    assert not (tmp_path / "s").exists()


def test_a_study_is_no_log(run, log, tmp_path):
    make(run, tmp_path / "s", log)
    for path in (tmp_path / "s", tmp_path / "s" / "study.toml"):
        code, _, err = make(run, tmp_path / "t", path)
        assert code == 2
        assert "is no log; give its log.csv" in err
    assert not (tmp_path / "t").exists()


def test_neither_protocol_nor_blades_are_guessed(run, log, tmp_path):
    code, _, err = run("new", tmp_path / "s")
    assert code == 2
    assert "--protocol" in err
    assert "--blade" in err
    code, _, err = make(run, tmp_path / "s", log, "--blade", "H1")
    assert code == 2
    assert "--from" in err
    assert not (tmp_path / "s").exists()


def test_a_protocol_of_ones_own_is_copied_into_the_study(run, tmp_path, monkeypatch):
    from edgetest.store.places import shipped

    text = (shipped("protocols") / "sisal_rope.toml").read_text("utf-8")
    (tmp_path / "bamboo.toml").write_text(text.replace('"sisal_rope"', '"bamboo"', 1), "utf-8")
    monkeypatch.chdir(tmp_path)
    code, _, err = run("new", "my study", "--protocol", "bamboo.toml", "--blade", "H1")
    assert code == 0, err
    assert (tmp_path / "my study" / "bamboo.toml").is_file()
    assert load_study(tmp_path / "my study").rules.id == "bamboo"
    code, _, _ = run("check", "my study")
    assert code == 0


def test_only_the_readings_that_will_be_taken_get_rows(run, tmp_path):
    code, out, err = run("new", tmp_path / "my s", "--protocol", "sisal_rope", "--blade", "H1",
                         "--reading", "edge_width_um")  # fmt: skip
    assert code == 0, err
    assert f"edgetest check '{tmp_path / 'my s'}'" in out
    rows = (tmp_path / "my s" / "log.csv").read_text("utf-8").splitlines()[1:]
    assert len(rows) == 9 * 3  # stages times stations, and no row for threads
    code, _, err = run("new", tmp_path / "t", "--protocol", "sisal_rope", "--blade", "H1",
                       "--reading", "edge_width")  # fmt: skip
    assert code == 2
    assert "edge_width_um" in err
    assert not (tmp_path / "t" / "study.toml").exists()


@pytest.mark.parametrize(("limit", "um"), [("0.5 thou", 12.7), ("12,7", 12.7), ("12.7 µm", 12.7)])
def test_a_limit_is_read_with_its_unit(answer, log, limit, um):
    told = answer("fit", log, "--limit", limit)
    plain = answer("fit", log, "--limit", um)
    assert [each["life"]["cuts"] for each in told] == [each["life"]["cuts"] for each in plain]


def test_one_photograph_that_is_missing_does_not_stop_the_others(run, sample_run):
    import json

    folder = sample_run("plough_disc_study")
    photos = sorted((folder / "photos").glob("*.jpg"))
    for photo in photos[2:]:
        photo.unlink()
    code, out, err = run("measure", folder, "--json")
    assert code == 0
    assert len(json.loads(out)) <= 2
    assert "the others are measured" in err
