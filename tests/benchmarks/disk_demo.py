"""The demo of a small study, as what a user does that writes to the disk."""

import shutil
import tempfile
from functools import cache
from pathlib import Path

import pytest

from edgetest.cli import demo
from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import analyse
from tests.benchmarks.disk_studies import LOG, photographed, said


def small_demo(root):
    """The demo, of a study with two photographs in the place of the sample run's 160."""

    def copied(_, folder, **how):
        shutil.copytree(_photographed_and_typed(), folder)
        return folder

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(demo, "copy_sample_run", copied)
        patch.setattr(demo, "analyse", lambda source, **_: _analysed(source.path))
        demo.run_demo(root / "d", workers=1)


@cache
def _analysed(folder):
    """What is found in the demo's study; it writes nothing, so once for each place is enough."""
    return analyse(open_source(folder), workers=1)


@cache
def _photographed_and_typed():
    root = Path(tempfile.mkdtemp())
    photographed(root)
    rows = (root / "s" / "log.csv").read_text().splitlines()[1:]
    head = "blade,cuts,station_mm,photo,edge_width_um"
    lines = [head, *(f"{row}," for row in rows)]
    for row in LOG.splitlines()[1:]:
        blade, cuts, width = row.split(",")
        lines.append(f"{blade},{cuts},40,,{width}")
    (root / "s" / "log.csv").write_text("\n".join(lines) + "\n")
    said("measure", root / "s", "--workers", 1)
    return root / "s"
