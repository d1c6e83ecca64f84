"""The caption of the ratio against the limit names the lines that are drawn, no others."""

import numpy as np
import pytest

from edgetest.report.documents.beside_lives import by_limit
from edgetest.report.figures.level_marks import LevelBand

DOTTED = "the dotted one the limit of this study"


@pytest.mark.parametrize(("limit", "says"), [
    (8.0, f"is no difference, {DOTTED}. Limits"),
    (11.2, f"is no difference, {DOTTED}. Limits"),
    (12.0, "is no difference (the limit of this study, 12, is not among those drawn). Limits"),
    (None, "is no difference. Limits"),
])  # fmt: skip
def test_the_dotted_line_is_named_where_it_lies_on_the_axis(limit, says):
    at = np.array([4.77, 11.2])
    band = LevelBand(at, at / at, at / at, at / at, limit, "limit", ("ratio",))
    assert says in by_limit(band)
