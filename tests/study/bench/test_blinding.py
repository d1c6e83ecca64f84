"""A study that an earlier version blinded, its key in clear, goes on by that key."""

import hashlib
import json
from types import SimpleNamespace

import pytest

from edgetest.errors import UnusableInput
from edgetest.store.workspace import change_study, new_study
from edgetest.study.bench.blinding import names_of_codes, refuse_sealed_look, shown_names
from edgetest.study.bench.next_action import next_action
from edgetest.study.sources import open_source


def test_a_clear_key_of_an_earlier_version_still_gives_the_codes(tmp_path):
    folder = new_study(tmp_path / "old", "sisal_rope", "old", blades=("K1", "K2")).folder
    codes = {"K1": "BXD", "K2": "TRM"}
    key = json.dumps({"codes": codes, "salt": "00"}, indent=1)
    plan = {"seed": 4, "blinded": True, "order": [["", "K2"], ["", "K1"]],
            "fingerprint": hashlib.sha256(key.encode()).hexdigest()[:16]}  # fmt: skip
    change_study(folder, lambda now: now.model_copy(update={"plan": plan}))
    with pytest.raises(UnusableInput, match=r"its key is not here.*take `blinded` out of \[plan\]"):
        next_action(open_source(folder))
    (folder / "sealed_key.json").write_text(key + "\n")
    assert shown_names(open_source(folder)) == codes
    assert next_action(open_source(folder)).name == "TRM"
    (folder / "sealed_key.json").write_text(key.replace("BXD", "BXK"))
    with pytest.raises(UnusableInput, match="the key is not the one that was made with the plan"):
        next_action(open_source(folder))


def test_a_look_at_sealed_names_is_refused_with_what_it_costs():
    with pytest.raises(UnusableInput, match=r"`edgetest unseal` now, and the rest .* no longer"):
        refuse_sealed_look(SimpleNamespace(plan={"sealed": "x", "looks": {}}))
    for study in (None, SimpleNamespace(plan=None), SimpleNamespace(plan={"unsealed": "x"})):
        refuse_sealed_look(study)


def test_what_each_code_was_is_told_once_the_names_came_back():
    blades = [SimpleNamespace(id=code, title=title) for code, title in
              (("BXD", "K1"), ("TRM", "K2"), ("new", "K3"), ("QFH", ""))]  # fmt: skip
    plan = {"unsealed": "2026-11-29", "codes": ["BXD", "QFH", "TRM"]}
    assert names_of_codes(SimpleNamespace(plan=plan, blades=blades)) == ["BXD is K1", "TRM is K2"]
    sealed = SimpleNamespace(plan={"sealed": "x", "codes": ["BXD"]}, blades=blades)
    assert names_of_codes(sealed) == names_of_codes(None) == []
