"""What stands beside the documents of a study: whom to hand them to, and when not yet."""

from pathlib import Path
from types import SimpleNamespace

from edgetest.report.documents import report_of_study as module
from edgetest.report.documents.report_of_study import Reported


def test_a_document_of_sealed_names_is_not_to_hand_on_yet():
    files, result = (Path("comparison.pdf"), Path("comparison.html")), SimpleNamespace(
        summary=lambda: "Curves alone."
    )  # fmt: skip
    told = Reported("comparison", files, result, (), Path("s"), sealed=True).summary()
    assert "Not to hand on yet: comparison.pdf shows codes" in told
    assert "`edgetest unseal` and write it again" in told
    assert "Hand on:" not in told
    assert (
        "\nHand on: comparison.pdf;"
        in Reported("comparison", files, result, (), Path("s")).summary()
    )


def test_whether_the_names_are_sealed_is_read_of_the_study(tmp_path, monkeypatch):
    monkeypatch.setattr(module, "answer_of", lambda *_, **__: None)
    monkeypatch.setattr(module, "_comparison", lambda *_, **__: [])
    monkeypatch.setattr(module, "study_letters_doubts", lambda _: ())
    monkeypatch.setattr(module, "jobs_of", lambda _: ())
    monkeypatch.setattr(module, "job_asked", lambda _, about: about)
    for plan, sealed in (({"sealed": "x"}, True), ({}, False)):
        source = SimpleNamespace(study=SimpleNamespace(plan=plan), path=tmp_path)
        assert module.write_report(source, about="comparison").sealed is sealed


def test_an_id_that_a_customer_would_read_asks_for_a_title():
    treatments = [
        SimpleNamespace(id="normalised_once", title=None),
        SimpleNamespace(id="normalised_twice", title="normalised twice"),
        SimpleNamespace(id="hard", title=None),
    ]
    study = SimpleNamespace(heat_treatments=treatments)
    result = SimpleNamespace(summary=lambda: "As long.", study=study)
    told = Reported("comparison", (Path("comparison.pdf"),), result, (), Path("s")).summary()
    assert "\nnormalised_once: the document has this id in place of a name. In study.toml," in told
    assert "twice" not in told


def test_a_chopper_is_told_in_the_units_of_its_sheet():
    result = SimpleNamespace(summary=lambda: "strikes at 316 (310 to 323) mm")
    chopper = Reported("chopper", (Path("c.pdf"),), result, (), Path("s"), units="inch")
    assert "strikes at 12.4 (12.2 to 12.7) in" in chopper.summary()
