"""A document written on a page: what it cannot show as typed is told beside it."""

from streamlit.testing.v1 import AppTest

from edgetest.report import letters

FACTS = 'title = "鉈 of the hills"\nprotocol = "billet_chop"\n[[blades]]\nid = "K1"\n'
ROWS = "blade,kind,order,chops,width_mm,thickness_mm,species,moisture_pct\n"


def page(folder):
    from pathlib import Path

    from edgetest.app.written_documents import offer_document

    def build(place, report):
        (Path(place) / "sheet.pdf").write_bytes(b"%PDF-1.7")
        return [Path(place) / "sheet.pdf"]

    offer_document("Write the sheet", "sheet", Path(folder), ("1",), build)


def test_letters_that_no_font_has_are_named_beside_the_document(tmp_path, monkeypatch):
    monkeypatch.setattr(letters, "_system_fonts", lambda: ())
    for title, told in (("鉈 of the hills", True), ("Hatchet of the hills", False)):
        folder = tmp_path / str(told)
        folder.mkdir()
        facts = FACTS.replace("鉈 of the hills", title)
        (folder / "study.toml").write_text(facts, encoding="utf-8")
        (folder / "chops.csv").write_text(f"{ROWS}K1,billet,1,20,50,50,white ash,12\n")
        shown = AppTest.from_function(page, args=(str(folder),), default_timeout=60).run()
        shown.button(key="sheet.write").click().run()
        assert not shown.exception
        words = " ".join(each.value for each in shown.markdown)
        assert ("No font on this machine has all letters of “鉈”" in words) is told
