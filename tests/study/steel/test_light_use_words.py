"""Is it told what light use is, wherever a piece is told to be for it?"""

from types import SimpleNamespace

import pytest

from edgetest.study.steel.light_use_words import LIGHT_USE
from edgetest.study.steel.steel_result import SteelResult


def verdict(piece, action):
    words = {"title": f"{action} it", "about": f"piece {piece}", "reasons": (), "unmended": ()}
    return SimpleNamespace(piece=piece, decision=SimpleNamespace(action=action, **words))


@pytest.mark.parametrize(
    ("actions", "told"),
    [(["light_use"], 1), (["leave", "light_use", "light_use"], 1), (["leave", "reuse"], 0)],
)
def test_light_use_is_told_once_beside_the_verdicts(actions, told, monkeypatch):
    here = "edgetest.study.steel.steel_result."
    for name in ("others_words", "blades_words"):
        monkeypatch.setattr(here + name, lambda result: "")
    asked, *others = (verdict(str(n), action) for n, action in enumerate(actions))
    said = SteelResult.others_in_words(SimpleNamespace(asked=asked, others=others))
    assert said.count(LIGHT_USE) == told
