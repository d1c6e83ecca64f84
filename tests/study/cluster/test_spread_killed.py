"""A worker that dies loses nothing; a photograph that ends its workers is told, others go on."""

import os
import re
import signal
import subprocess
import sys
import time
from contextlib import contextmanager

import pytest
from distributed import Client, LocalCluster

from edgetest.errors import UnusableInput
from edgetest.store.places import shipped
from edgetest.study.cluster import reach, spread
from edgetest.study.cluster.reach import Cluster
from edgetest.study.photos.many_photos import as_they_come, measure_many
from edgetest.study.photos.measure_photos import MOST_DEATHS, Task

PHOTOS = sorted((shipped("sample_runs") / "billhook_temper_study" / "photos").glob("H1_*.jpg"))


class Deadly:
    """Ends whichever program unpacks it."""

    def __reduce__(self):
        return os._exit, (1,)


@contextmanager
def workers(count):
    """The command's cluster, in processes of its own; its address."""
    started = subprocess.Popen(
        [sys.executable, "-m", "edgetest", "workers", "--count", str(count), "--port", "0"],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    try:
        line = started.stdout.readline()
        yield re.search(r"tcp://[\d.:]+", line)[0]
    finally:
        started.send_signal(signal.SIGINT)
        _, err = started.communicate(timeout=60)
    assert started.returncode == 0
    assert err == ""


@pytest.mark.slow
def test_killed_workers_lose_nothing_and_a_deadly_photograph_is_refused():
    tasks = [Task(path, 0.4) for path in PHOTOS[:12]]
    tasks[3] = Task(PHOTOS[3], 0.4, tone=Deadly(), photo="deadly")
    others = [task for task in tasks if not task.photo]
    here = {each.photo: each.numbers for each in measure_many(others, workers=1)}
    with workers(2) as address:
        with Client(address, set_as_default=False) as client:
            victim = next(iter(client.run(os.getpid).values()))
        found = {}
        for number, result in as_they_come(tasks, workers=Cluster(address)):
            if not found:
                os.kill(victim, signal.SIGKILL)
            assert number not in found
            found[number] = result
    assert sorted(found) == list(range(len(tasks)))
    deadly = found.pop(3)
    (reason,) = deadly.numbers["reasons"]
    assert reason["code"] == "ends_the_program"
    assert f"{MOST_DEATHS} times" in reason["text"]
    assert {each.photo: each.numbers for each in found.values()} == here


def test_a_cluster_without_workers_is_told_and_not_waited_for_for_ever(monkeypatch):
    tasks = [Task(path, 0.4) for path in PHOTOS[:8]]
    monkeypatch.setattr(spread, "LOOK_S", 0.1)
    with LocalCluster(n_workers=1, threads_per_worker=1, processes=False, protocol="tcp",
                      dashboard_address=None, silence_logs=50) as local:  # fmt: skip
        lines = []
        cluster = Cluster(local.scheduler_address, tell=lines.append)
        coming = as_they_come(tasks, workers=cluster)
        first = next(coming)
        local.scale(0)
        monkeypatch.setattr(spread, "TOLD_S", 0.3)
        monkeypatch.setattr(spread, "WAITED_S", 1.0)
        came = [first]
        with pytest.raises(UnusableInput, match="has had no worker for 1 s"):
            came += coming
        assert len(came) < len(tasks)
        assert len(lines) == 1
        assert "no worker is there; waiting" in lines[0]
        monkeypatch.setattr(reach, "WORKERS_S", 0.3)
        start = time.monotonic()
        with pytest.raises(UnusableInput, match=r"start one with `edgetest workers --join tcp"):
            next(as_they_come(tasks, workers=cluster))
        assert time.monotonic() - start < 10


def test_a_cluster_that_is_gone_is_told():
    tasks = [Task(path, 0.4) for path in PHOTOS[:8]]
    local = LocalCluster(n_workers=1, threads_per_worker=1, processes=False, protocol="tcp",
                         dashboard_address=None, silence_logs=50)  # fmt: skip
    coming = as_they_come(tasks, workers=Cluster(local.scheduler_address))
    with pytest.raises(UnusableInput, match="does not answer any more"):  # noqa: PT012
        next(coming)
        local.close()
        list(coming)
