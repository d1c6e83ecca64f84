"""Measuring that was stopped leaves the one that goes on alone."""

import gc
import shutil

import pytest

from edgetest.store.places import shipped
from edgetest.study.photos.measured_table import read_measured
from edgetest.study.sources import open_source
from edgetest.study.wear.study_photos import measure_study

RUN = shipped("sample_runs") / "billhook_temper_study"


@pytest.mark.filterwarnings("ignore:.*tasks:UserWarning")  # what was begun and not used is told
def test_what_was_stopped_takes_no_worker_from_what_goes_on(tmp_path, on_cores):
    folder = tmp_path / "s"
    shutil.copytree(RUN, folder)
    (folder / "measured.csv").unlink(missing_ok=True)
    lines = (folder / "log.csv").read_text(encoding="utf-8").splitlines()
    (folder / "log.csv").write_text("\n".join(lines[:21]), encoding="utf-8")

    def stop(done, _):
        if done >= 6:
            raise InterruptedError

    with pytest.raises(InterruptedError) as kept:  # a page keeps it until it has told it
        measure_study(open_source(folder), progress=stop, workers=2)

    def going_on(done, _):
        if done == 6:
            kept.value.__traceback__ = None
            gc.collect()

    measure_study(open_source(folder), progress=going_on, workers=2)
    assert len(read_measured(folder)) == 20
