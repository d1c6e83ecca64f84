"""A document shows two lives beside a ratio that is not their quotient: page 1 says why.

Lives and shop are invented.
"""

import json
import re

import pytest

from edgetest.report.documents.comparison_document import comparison_contents
from edgetest.store.document_wishes import settings_of
from edgetest.study.sources import open_source
from edgetest.study.wear.wear_answer import comparison_of
from tests.study.wear.surfaces import strings_in, surfaces

# The second roll is hard on edges, and holds more blades of S.
ROWS = {"roll 1": {"S1": 210, "H1": 262, "H2": 270, "C": 221},
        "roll 2": {"S2": 148, "S3": 141, "H3": 182, "C": 156},
        "roll 3": {"S4": 200, "H4": 255, "H5": 248, "C": 219}}  # fmt: skip


@pytest.fixture(params=["C", ""])
def study(tmp_path, request):
    """A study of nine blades on three rolls, with a control blade or without."""
    lines = ['title = "two tempers"', 'protocol = "manila_rope"', "invented = true"]
    lines += ['control = "C"'] * bool(request.param)
    lines += [f'[[heat_treatments]]\nid = "{name}"' for name in "SH"]
    rows = ["blade,life,block"]
    for roll, lives in ROWS.items():
        for blade, life in lives.items():
            if blade != "C":
                lines.append(f'[[blades]]\nid = "{blade}"\nheat_treatment = "{blade[0]}"')
            if blade != "C" or request.param:
                rows.append(f"{blade},{life},{roll}")
    lines += ['[[blades]]\nid = "C"'] * bool(request.param)
    folder = tmp_path / "one"
    folder.mkdir()
    (folder / "study.toml").write_text("\n".join(lines) + "\n", encoding="utf-8")
    (folder / "log.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    return folder


def test_every_surface_says_why_the_ratio_is_not_the_quotient(study, tmp_path, monkeypatch):
    said = surfaces(study, tmp_path, monkeypatch)
    (line,) = [one for one in said["json"]["headline"]["answer"] if re.search(r"not \d+ : ", one)]
    for surface in ("text", "page", "document"):
        assert line in said[surface]
    over, under, quotient = re.search(r"(\d+) : (\d+) = ([\d.]*\d)", line).groups()
    lives = {one["treatment"]: one["life"]["cuts"] for one in said["json"]["groups"]}
    assert float(over) == pytest.approx(lives["H"], abs=5.01)
    assert float(under) == pytest.approx(lives["S"], abs=5.01)
    assert abs(float(quotient) - said["json"]["ratio"]["estimate"]) > 0.02
    assert "boards" in line
    result = comparison_of(open_source(study))
    contents = comparison_contents(result, settings_of(result.study), day="2026-05-14")
    first = list(strings_in(contents.sections[0]))
    assert line in first, "on page 1, where the lives stand"
    assert json.dumps(said["json"]["summary"]).count(quotient) == 1
