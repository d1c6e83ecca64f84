"""Is what a study names, or holds as a link, refused where it leads outside the study?"""

import io
import os
import stat
import zipfile

import pytest

from edgetest.errors import UnusableInput
from edgetest.store.study_paths import path_within
from edgetest.store.study_zip import import_study
from edgetest.units import Unreadable

STUDY = """\
title = "Paths"
protocol = "sisal_rope"
scale = {um_per_px = 0.4}
blades = [{id = "K1"}]
"""
LOG = "blade,cuts,photo\nK1,0,a.jpg\n"
STEEL = 'title = "Steel"\n[evidence]\n[verdict]\nuse = "knife"\n'
links = pytest.mark.skipif(os.name == "nt", reason="links need rights there")


@pytest.fixture
def study(tmp_path):
    """A study beside a folder that is none of its business."""
    (tmp_path / "secret").mkdir()
    (tmp_path / "secret" / "x.toml").write_text('title = "secret"\n')
    (tmp_path / "secret" / "a.jpg").write_bytes(b"secret")
    folder = tmp_path / "s"
    (folder / "photos").mkdir(parents=True)
    (folder / "study.toml").write_text(STUDY)
    (folder / "log.csv").write_text(LOG)
    return folder


def refused(run, folder, *commands, says):
    for command in commands:
        code, out, err = run(command, folder)
        assert code == 2
        assert says in out + err
        assert "secret" not in (out + err).replace("/secret/", "/")


@pytest.mark.parametrize(
    "name", ["../secret/x.toml", "/etc/x.toml", "C:\\x.toml", "a/../../x.toml"]
)
def test_a_protocol_from_outside_is_refused(name, study, run):
    text = STUDY.replace('"sisal_rope"', f"'{name}'")
    (study / "study.toml").write_text(text)
    refused(run, study, "check", "compare", says="study.toml, protocol")


@pytest.mark.parametrize("name", ["../secret/x.toml", "/etc/x.toml"])
def test_tables_of_a_verdict_from_outside_are_refused(name, study, run):
    (study / "study.toml").write_text(f"{STEEL}tables = '{name}'\n")
    refused(run, study, "verdict", says="study.toml, verdict, tables")


@links
@pytest.mark.parametrize("at", ["photos/a.jpg", "photos/early", "log.csv", "x.toml", "photos"])
def test_a_link_that_leads_outside_is_refused(at, study, run):
    there = study.parent / "secret"
    path = study / at
    if path.is_dir():
        path.rmdir()
    path.unlink(missing_ok=True)
    path.symlink_to(there if "." not in at else there / "x.toml")
    refused(run, study, "check", "measure", says=f"{at} is a link that leads outside the study")


@links
def test_a_link_within_the_study_and_a_study_that_is_a_link_itself_are_no_fault(study, run):
    (study / "photos" / "b.jpg").write_bytes(b"x")
    (study / "photos" / "a.jpg").symlink_to("b.jpg")
    other = study.parent / "t"
    other.symlink_to(study)
    for folder in (study, other):
        code, out, _ = run("check", folder)
        assert (code, "link" in out) == (0, False)


def test_a_link_in_a_zip_is_refused(tmp_path):
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w") as archive:
        archive.writestr("s/study.toml", STUDY)
        entry = zipfile.ZipInfo("s/photos/a.jpg")
        entry.external_attr = (stat.S_IFLNK | 0o777) << 16
        archive.writestr(entry, "/etc/passwd")
    with pytest.raises(UnusableInput, match=r'"s/photos/a\.jpg" is a link'):
        import_study(data.getvalue(), tmp_path / "w")
    assert not (tmp_path / "w").exists() or not list((tmp_path / "w").iterdir())


@pytest.mark.parametrize(
    "line",
    [
        '{"photo": "../secret/a.jpg", "kind": "um_per_px", "after": 0.5}',
        '{"photo": ["a.jpg"], "kind": "um_per_px", "after": 0.5}',
        '{"photo": "a.jpg", "kind": "um_per_px", "after": NaN}',
        '{"photo": "a.jpg", "kind": "um_per_px", "after": "0.5"}',
        '{"photo": "a.jpg", "kind": "region", "after": [1, 2, 3, Infinity]}',
        '{"photo": "a.jpg", "kind": "struck_out", "after": [[1, 2, 3]]}',
        '{"photo": "a.jpg", "kind": "struck_out", "after": 7}',
    ],
)
def test_a_correction_of_a_file_outside_or_of_no_number_is_refused(line, study, run):
    line = line.replace("}", ', "before": null, "who": "m", "when": "2026-11-27"}')
    (study / "corrections.jsonl").write_text(line + "\n")
    refused(run, study, "measure", says="corrections.jsonl")


def test_a_name_longer_than_a_file_may_have_is_told():
    with pytest.raises(Unreadable, match="is longer than a file's name may be"):
        path_within("photos/" + "b" * 300 + ".jpg")
    assert path_within("/".join(["b" * 200] * 3))


@links
def test_a_link_in_a_circle_is_told(study, run):
    (study / "log.csv").unlink()
    (study / "log.csv").symlink_to("log.csv")
    refused(run, study, "check", "compare", says="log.csv is a link that leads in a circle")


def test_what_only_has_the_name_of_a_file_is_not_to_be_renamed_to_it(study, run):
    (study / "study.toml").unlink()
    (study / "study.toml").mkdir()
    refused(run, study, "check", says="what is called study.toml is no file")


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("photos/H1.jpg", "H1.jpg"),
        ("photos/roll 1/H1.jpg", "roll 1/H1.jpg"),
        ("roll 1/photos/H1.jpg", "roll 1/photos/H1.jpg"),
        ("photos", "photos"),
        ("Photos/H1.jpg", "Photos/H1.jpg"),
    ],
)
def test_a_photograph_may_be_named_with_its_folder_as_the_facts_name_theirs(typed, meant):
    assert path_within(typed, "photos") == meant
    assert path_within(typed) == typed
