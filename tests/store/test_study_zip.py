"""Is a study's zip unpacked whole, or refused with a reason and nothing left behind?"""

import io
import os
import random
import shutil
import tracemalloc
import warnings
import zipfile

import pytest

from edgetest.errors import UnusableInput
from edgetest.store.export import export_study
from edgetest.store.study_zip import import_study
from edgetest.store.workspace import new_study
from tests.store.zipped_study import zip_of


def zipped(**files):
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files.items():
            archive.writestr(name.replace("__", "/"), content)
    return data.getvalue()


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (b"no zip", "is not a whole zip file"),
        (zipped(notes="x"), r"holds no study\.toml"),
        (zipped(**{"a__study.toml": "x", "b__study.toml": "x"}), "holds several studies"),
        (zipped(**{"a__study.toml": "x", "..__evil": "x"}), r'"\.\./evil" leads outside'),
        (zipped(**{"a__study.toml": "x", "__evil": "x"}), r'"/evil" leads outside'),
        (zipped(**{"a__study.toml": "x", "C:__evil": "x"}), r'"C:/evil" leads outside'),
        (zipped(**{"a__study.toml": "x", "a__bomb": b"0" * 50_000_000}), "swells to 50 MB"),
        (zipped(**{"a__study.toml": "title = 1"}), "title"),
    ],
)
def test_what_is_no_study_is_refused_and_leaves_nothing(tmp_path, data, message):
    with pytest.raises(UnusableInput, match=message):
        import_study(data, tmp_path / "w")
    assert not any((tmp_path / "w").rglob("*"))


def of_entries(*entries):
    """A zip of entries in order; a name may stand twice."""
    data = io.BytesIO()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        with zipfile.ZipFile(data, "w", zipfile.ZIP_DEFLATED) as archive:
            for name, content in entries:
                archive.writestr(name, content)
    return data.getvalue()


STUDY = ("s/study.toml", 'title = "T"\nprotocol = "sisal_rope"\n[[blades]]\nid = "A"\n')


@pytest.mark.parametrize(
    ("entries", "message"),
    [
        ([STUDY, STUDY], "stands in it twice"),
        ([STUDY, ("s/LOG.csv", "x"), ("s/log.csv", "y")], "stands in it twice"),
        ([STUDY, ("s/photos", "x"), ("s/photos/a.jpg", "y")], "a file and a folder"),
        ([STUDY, ("s/" + "n" * 300, "x")], "too long"),
        ([STUDY, ("s/a\u202egpj.exe", "x")], "a letter that is not seen"),
        ([STUDY, ("s/a\nb.jpg", "x")], "a letter that is not seen"),
        ([STUDY, ("s/aux.jpg", "x")], "some systems keep it"),
        ([(".import_x/study.toml", STUDY[1])], "hidden"),
        ([("..\\study.toml", STUDY[1])], "leads outside"),
    ],
)
def test_names_that_are_not_what_they_seem_are_refused(entries, message, tmp_path):
    with pytest.raises(UnusableInput, match=message):
        import_study(of_entries(*entries), tmp_path / "w")
    assert not any((tmp_path / "w").rglob("*"))


def test_a_file_without_a_name_is_refused(tmp_path):
    data = of_entries(STUDY, ("#", "x")).replace(b"#", b"\0")  # a name ends at such a letter
    with pytest.raises(UnusableInput, match="a file without a name"):
        import_study(data, tmp_path / "w")
    assert not any((tmp_path / "w").rglob("*"))


def test_any_damage_of_a_zip_is_told_and_leaves_nothing(tmp_path):
    study = new_study(tmp_path / "one", "sisal_rope", "Damage")
    (study.folder / "photos" / "a.jpg").write_bytes(random.Random(1).randbytes(300))
    whole = zip_of(study.folder)
    draw, told, left = random.Random(20261127), [], []
    for case in range(300):
        data = bytearray(whole)
        for _ in range(draw.choice((1, 2, 8))):
            data[draw.randrange(len(data))] = draw.randrange(256)
        if draw.random() < 0.2:
            del data[draw.randrange(len(data)) :]
        workspace = tmp_path / f"w{case}"
        try:
            import_study(bytes(data), workspace)
        except UnusableInput as fault:
            told.append(fault)
            left += workspace.rglob("*")
    assert len(told) > 200
    assert all(fault.mend and fault.where for fault in told)
    assert left == []


def test_a_zip_is_unpacked_from_where_it_lies_file_by_file(tmp_path):
    study = new_study(tmp_path / "one", "sisal_rope", "Large")
    (study.folder / "photos" / "a.jpg").write_bytes(random.Random(1).randbytes(3_000_000))
    path, told = export_study(study.folder, tmp_path / "one.zip"), []
    came = import_study(path, tmp_path / "w", progress=lambda *count: told.append(count))
    assert (came / "photos" / "a.jpg").read_bytes() == (
        study.folder / "photos" / "a.jpg"
    ).read_bytes()
    assert told[-1] == (len(told), len(told))
    assert len(told) >= 3


def test_neither_way_holds_a_study_in_memory(tmp_path):
    """Peak of what is allocated, for 60 MB of photographs; they were held whole before."""
    study = new_study(tmp_path / "one", "sisal_rope", "Large")
    for number in range(6):
        (study.folder / "photos" / f"{number}.jpg").write_bytes(random.Random(1).randbytes(10**7))
    tracemalloc.start()
    try:
        path = export_study(study.folder, tmp_path / "one.zip")
        import_study(path, tmp_path / "w")
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert path.stat().st_size > 60_000_000
    assert peak < 8_000_000


def test_what_the_disk_has_no_room_for_is_refused_before_it_is_begun(tmp_path, monkeypatch):
    study = new_study(tmp_path / "one", "sisal_rope", "Large")
    path = export_study(study.folder, tmp_path / "one.zip")
    room = shutil._ntuple_diskusage(10**9, 10**9, 10**8)
    monkeypatch.setattr(shutil, "disk_usage", lambda _: room)
    with pytest.raises(UnusableInput, match="has room for"):
        import_study(path, tmp_path / "w")


def test_what_a_killed_program_had_unpacked_is_removed_once_it_is_old(tmp_path):
    study = new_study(tmp_path / "one", "sisal_rope", "Large")
    path, root = export_study(study.folder, tmp_path / "one.zip"), tmp_path / "w"
    old, young = root / ".half_old", root / ".half_young"
    for left in (old, young):
        left.mkdir(parents=True)
    os.utime(old, (1e9, 1e9))
    import_study(path, root)
    assert not old.exists()
    assert young.exists()


@pytest.mark.parametrize("packed", [zipfile.ZIP_LZMA, zipfile.ZIP_BZIP2, zipfile.ZIP_STORED])
def test_damage_is_told_however_a_zip_is_packed(packed, tmp_path):
    whole, draw, told = io.BytesIO(), random.Random(20261128), []
    with zipfile.ZipFile(whole, "w", packed) as archive:
        archive.writestr(*STUDY)
        archive.writestr("s/log.csv", "blade,cuts,edge_width_um\n" + "A,0,3\n" * 40)
    for case in range(150):
        data = bytearray(whole.getvalue())
        for _ in range(draw.choice((1, 4))):
            data[draw.randrange(len(data) - 200)] = draw.randrange(256)
        try:
            import_study(bytes(data), tmp_path / f"w{case}")
        except UnusableInput as fault:
            told.append(fault.mend)
    assert len(told) > 50
    assert all(told)


def test_a_path_longer_than_systems_take_is_refused(tmp_path):
    long = "s/" + "/".join(["d" * 100] * 60) + "/a.jpg"
    with pytest.raises(UnusableInput, match=r"longer path than systems take.*shorten"):
        import_study(of_entries(STUDY, (long, "x")), tmp_path / "w")
    assert not any((tmp_path / "w").rglob("*"))
