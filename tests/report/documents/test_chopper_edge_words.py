"""Why a side view was not measured is told in the words of where it is read."""

import shutil

from edgetest.app.page_words import on_page
from edgetest.report.documents import chopper_edge
from edgetest.report.figures import overlay
from edgetest.store.places import shipped
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.sources import open_chops


def test_a_refused_side_view_bids_nothing_that_a_page_does_not_have(tmp_path, monkeypatch):
    study = shutil.copytree(shipped("sample_runs") / "camp_hatchet_study", tmp_path / "hatchet")
    log = study / "chops.csv"
    log.write_text(log.read_text("utf-8").replace(".jpg,side,", ".jpg,,"), encoding="utf-8")
    plates = []
    kept = overlay.write_plate
    monkeypatch.setattr(
        overlay, "write_plate", lambda canvas, words: (plates.append(words), kept(canvas, words))
    )
    result = analyse_chops(open_chops(study))
    shown = chopper_edge.edge_pictures(result, "H1", words=on_page)
    told = [caption for caption, _ in shown] + plates
    assert len(told) == 2 * len(shown) > 0
    for words in told:
        assert "The scale is missing" in words
        assert "page Photographs" in words
        assert "--" not in words
        assert "study.toml" not in words
