"""Where no piece was severed there are no others to which more could still stand."""

import re

import pytest

from edgetest.store.workspace import new_study

pytestmark = pytest.mark.usefixtures("framed")

LOG = """blade,kind,chops,width_mm,thickness_mm,species,result
K1,billet,>40,60,60,hazel,
K1,billet,>42,60,60,hazel,
"""


def test_pieces_that_all_stood_are_not_told_as_more_pieces(run, tmp_path):
    folder = tmp_path / "s"
    new_study(folder, "billet_chop", "A hook", blades=[{"id": "K1"}])
    (folder / "chops.csv").write_text(LOG, encoding="utf-8")
    code, _, err = run("report", folder, "--about", "chopper", "--to", folder / "out")
    assert code == 0, err
    page = next((folder / "out").glob("*.html")).read_text(encoding="utf-8")
    words = " ".join(re.sub(r"<[^>]+>|[\u200b\u00ad]", "", page).split())
    assert "no piece was severed; 2 pieces still stood after 82 strokes in all" in words
