"""Pictures for the commands, and a study of a steel with one piece."""

import cv2
import numpy as np
import pytest

from edgetest.photo.render.apex_scene import render_apex
from tests.report.undrawn import framed, framed_here, untypeset  # noqa: F401


@pytest.fixture
def pictures(tmp_path):
    rng = np.random.default_rng(7)
    apex, truth = render_apex(width_um=20, um_per_px=1.0, tilt_deg=4, rng=rng)
    cv2.imwrite(str(tmp_path / "edge.png"), apex)
    cv2.imwrite(str(tmp_path / "blank.png"), np.full((300, 300), 90, np.uint8))
    (tmp_path / "damaged.jpg").write_bytes(b"\xff\xd8\xff\xe0 cut off")
    (tmp_path / "notes.jpg").write_text("not a picture")
    return tmp_path, truth


@pytest.fixture
def discs(run, tmp_path):
    folder = tmp_path / "discs"
    run("new", folder, "--steel-for", "knife")
    run("enter", folder, "--evidence", "pieces", "id=1", "origin=plough disc")
    return folder
