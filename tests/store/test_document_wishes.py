"""`check` tells every fault of the [document] section, as the report does."""

import pytest
from click.testing import CliRunner

from edgetest.cli.root import edgetest

STUDY = """
title = "Hatchet (invented)"
protocol = "billet_chop"
blades = [{id = "H1"}]
[document]
care = "Oil it"
unit = "inch"
"""


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "study.toml").write_text(STUDY, encoding="utf-8")
    (tmp_path / "chops.csv").write_text(
        "blade,kind,order,chops,width_mm,thickness_mm,species,moisture_pct\n"
        "H1,billet,1,20,50,50,white ash,12\nH1,billet,2,22,50,50,white ash,12\n",
        encoding="utf-8",
    )
    return tmp_path


def test_check_tells_both_faults_of_the_document_section(folder):
    done = CliRunner().invoke(edgetest, ["check", str(folder)])
    assert "2 faults" in done.output
    for key in ("document, care", "document, unit"):
        assert key in done.output, key
    assert 'write it in square brackets: care = ["…"]' in done.output


def test_without_the_faults_nothing_is_told(folder):
    study = folder / "study.toml"
    text = study.read_text(encoding="utf-8").replace('"Oil it"', '["Oil it"]')
    study.write_text(text.replace('unit = "inch"', 'units = "inch"'), encoding="utf-8")
    done = CliRunner().invoke(edgetest, ["check", str(folder)])
    assert "No fault found." in done.output


@pytest.mark.parametrize(
    ("mark", "told"),
    [("KB", '"KB" is not a picture; save it as .png'), ("KB.png", 'there is no "KB.png"')],
)
def test_a_mark_that_the_report_refuses_is_a_fault_of_check_in_the_same_words(folder, mark, told):
    study = folder / "study.toml"
    head = STUDY.partition("[document]")[0]
    study.write_text(f'{head}[document]\nmark = "{mark}"\n', encoding="utf-8")
    assert told in CliRunner().invoke(edgetest, ["check", str(folder)]).output
    assert told in str(CliRunner().invoke(edgetest, ["report", str(folder)]).exception)


def test_a_mark_that_is_there_is_no_fault(folder):
    study = folder / "study.toml"
    head = STUDY.partition("[document]")[0]
    study.write_text(f'{head}[document]\nmark = "kb.svg"\n', encoding="utf-8")
    (folder / "kb.svg").write_text("<svg/>", encoding="utf-8")
    assert "No fault found." in CliRunner().invoke(edgetest, ["check", str(folder)]).output
