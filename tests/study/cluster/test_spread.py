"""What a cluster measures is what is measured here; what it cannot measure is told."""

import shutil
import socket
import time
from dataclasses import replace

import pytest
from distributed import Client, LocalCluster

import edgetest as et
from edgetest.errors import UnusableInput
from edgetest.store.places import shipped
from edgetest.study.cluster import reach, spread
from edgetest.study.cluster.reach import Cluster
from edgetest.study.photos.many_photos import measure_many
from edgetest.study.photos.measure_photos import Task
from edgetest.study.photos.measured_table import read_rows

PHOTOS = shipped("sample_runs") / "billhook_temper_study" / "photos"
NAMES = [f"H1_roll1_{cuts}_020.jpg" for cuts in ("050", "100")]


@pytest.fixture(scope="module")
def cluster():
    """One worker, in a thread of this process."""
    with LocalCluster(n_workers=1, threads_per_worker=1, processes=False, protocol="tcp",
                      dashboard_address=None, silence_logs=50) as local:  # fmt: skip
        yield Cluster(local.scheduler_address)


def told(results):
    """What was found, without how long it took."""
    return [(each.photo, each.path, each.numbers, each.sha256, each.task) for each in results]


def test_the_cluster_finds_what_is_found_here_a_damaged_and_a_missing_one_too(cluster, tmp_path):
    (tmp_path / "broken.jpg").write_bytes((PHOTOS / NAMES[0]).read_bytes()[:9000])
    paths = [*(PHOTOS / name for name in NAMES), tmp_path / "broken.jpg", tmp_path / "gone.jpg"]
    tasks = [Task(path, 0.4, 0.01) for path in paths]
    here = told(measure_many(tasks, workers=1))
    assert told(measure_many(tasks, workers=cluster)) == here
    assert told(measure_many(tasks[:1], workers=replace(cluster, shared=True))) == here[:1]
    with pytest.raises(UnusableInput, match="no address of a cluster"):
        et.measure(tmp_path, 0.4, workers="somewhere")


def test_a_study_on_a_cluster_keeps_what_it_keeps_here_and_goes_on_where_it_was(
    cluster, sample_run, answer
):
    folder = sample_run("billhook_temper_study")
    lines = (folder / "log.csv").read_text(encoding="utf-8").splitlines()
    (folder / "log.csv").write_text("\n".join(lines[:4]), encoding="utf-8")
    (folder / "measured.csv").unlink(missing_ok=True)
    other = folder.parent / "other"
    shutil.copytree(folder, other)
    here = answer("measure", folder)
    there = answer("measure", other, "--on", cluster.address)
    for each in (*here, *there):
        del each["seconds"]
    assert there == here

    def kept(place):
        return {which: (row["numbers"], row["sha256"], row["key"])
                for which, row in read_rows(place).items()}  # fmt: skip

    assert kept(other) == kept(folder)
    assert len(kept(other)) == 3
    start = time.perf_counter()
    answer("measure", other, "--on", "tcp://127.0.0.1:9")  # all is kept: nobody is asked
    assert time.perf_counter() - start < reach.ANSWER_S


def test_who_does_not_answer_or_is_no_address_is_told_in_one_line(cluster, run):
    photo = PHOTOS / NAMES[0]
    with socket.socket() as silent:
        silent.bind(("127.0.0.1", 0))
        silent.listen()  # takes a connection and says nothing
        address = f"tcp://127.0.0.1:{silent.getsockname()[1]}"
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(reach, "ANSWER_S", 0.5)
            code, _, err = run("measure", photo, "--on", address)
    assert (code, err.count("\n")) == (2, 1)
    assert "no cluster answers there" in err
    with Client(cluster.address, set_as_default=False) as client:
        (worker,) = client.nthreads()
    code, _, err = run("measure", photo, "--on", worker)
    assert (code, err.count("\n")) == (2, 1)
    assert "a worker answers there" in err
    for wrong in ("192.168.1.5:8786", "tcp://h", "tcp://h:70000", "http://h:1", "tcp://h:1/x"):
        code, _, err = run("measure", photo, "--on", wrong)
        assert (code, err.count("\n")) == (2, 1)
        assert "is no address of a cluster" in err
    code, _, err = run("measure", photo, "--shared")
    assert (code, err.count("\n")) == (2, 1)


def test_workers_of_another_program_measure_nothing(cluster, monkeypatch):
    tasks, own = [Task(PHOTOS / NAMES[0], 0.4)], reach.this_program()
    with monkeypatch.context() as patch:
        patch.setattr(reach, "this_program", lambda: replace(own, checksum="another"))
        with pytest.raises(UnusableInput, match="its files differ; install the same edgetest"):
            list(measure_many(tasks, workers=cluster))
    with monkeypatch.context() as patch:  # one that comes after the others were asked
        patch.setattr(spread, "program_checksum", lambda: "another")
        with pytest.raises(UnusableInput, match="may not measure for this program"):
            list(measure_many(tasks, workers=cluster))
    lines = []
    older = replace(own, libraries=(*own.libraries[:-1], ("pillow-heif", "0.1")))
    with monkeypatch.context() as patch:
        patch.setattr(reach, "this_program", lambda: older)
        list(measure_many(tasks, workers=replace(cluster, tell=lines.append)))
    (line,) = lines
    assert "last digits of a width may differ" in line
    assert "0.1 here" in line
