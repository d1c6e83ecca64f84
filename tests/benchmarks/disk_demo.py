"""The demo of a small study, as what a user does that writes to the disk."""

import shutil
import tempfile
from functools import cache
from pathlib import Path

import pytest

from edgetest.cli import demo
from edgetest.store import workspace
from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import analyse
from tests.benchmarks.disk_studies import LOG, photographed, said


def small_demo(root):
    """The demo, where the sample run that travels with the program has two photographs, not 160."""
    runs = _photographed_and_typed()
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(workspace, "shipped", lambda _: runs)
        patch.setattr(demo, "analyse", lambda source, **_: _analysed(source.path))
        demo.run_demo(root / "d", workers=1)


@cache
def _analysed(folder):
    """What is found in the demo's study; it writes nothing, so once for each place is enough."""
    return analyse(open_source(folder), workers=1)


@cache
def _photographed_and_typed():
    """A folder of sample runs with one, small."""
    root, runs = Path(tempfile.mkdtemp()), Path(tempfile.mkdtemp())
    photographed(root)
    rows = (root / "s" / "log.csv").read_text().splitlines()[1:]
    head = "blade,cuts,station_mm,photo,edge_width_um"
    lines = [head, *(f"{row}," for row in rows)]
    for row in LOG.splitlines()[1:]:
        blade, cuts, width = row.split(",")
        lines.append(f"{blade},{cuts},40,,{width}")
    (root / "s" / "log.csv").write_text("\n".join(lines) + "\n")
    said("measure", root / "s", "--workers", 1)
    shutil.copytree(root / "s", runs / demo.RUN)
    return runs
