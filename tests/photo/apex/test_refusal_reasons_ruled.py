"""Dark lines that run through a picture: told by a path of their own, on the light turned round."""

from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.apex import refusal_reasons
from edgetest.photo.apex.refusal_reasons import _ruled_darkly


@pytest.mark.parametrize(
    ("left", "right", "certain", "ruled"),
    [
        (-3.0, 3.0, True, True),
        (-3.0, 3.0, False, False),
        (None, 3.0, True, False),
        (-3.0, None, True, False),
    ],
)
def test_dark_lines_are_told_where_one_of_them_is_clear(monkeypatch, left, right, certain, ruled):
    small = np.linspace(0.1, 0.7, 12).reshape(3, 4)
    asked = []

    def look(turned, path):
        asked.append((turned, path))
        return SimpleNamespace(left=left, right=right, certain=certain)

    monkeypatch.setattr(refusal_reasons, "find_band", lambda *rest: rest)
    monkeypatch.setattr(refusal_reasons, "look_around", look)
    monkeypatch.setattr(refusal_reasons, "_beside", lambda context: "lines beside")
    monkeypatch.setattr(refusal_reasons, "is_ruled", lambda beside: beside == "lines beside")
    sight = SimpleNamespace(
        small=small, dark="dark", sigmas="sigmas", band=SimpleNamespace(reduction=3)
    )
    assert _ruled_darkly(sight) == ruled
    turned, path = asked[0]
    assert_allclose(turned, 0.7 - small)
    assert path == (3, "dark", "sigmas")
