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


def test_a_picture_of_a_stretch_says_so_and_what_lies_outside_it(tmp_path, monkeypatch):
    study = shutil.copytree(shipped("sample_runs") / "camp_hatchet_study", tmp_path / "hatchet")
    result = analyse_chops(open_chops(study))
    captions = [caption for caption, _ in chopper_edge.edge_pictures(result, "H1")]
    assert all(one.endswith("on 39 mm of edge. Shown: 13 mm of it.") for one in captions)
    monkeypatch.setattr(chopper_edge, "MOST_UM", 3000.0)
    before, after = (caption for caption, _ in chopper_edge.edge_pictures(result, "H1"))
    assert before.endswith(" Shown: 3 mm of it.")
    assert after.endswith(" Shown: 3 mm of it; 1 roll lies outside.")
    monkeypatch.setattr(chopper_edge, "MARGIN_UM", 39_000.0)
    monkeypatch.setattr(chopper_edge, "MOST_UM", 100_000.0)
    assert "Shown" not in "".join(words for words, _ in chopper_edge.edge_pictures(result, "H1"))
