"""Does the verdict's page take a settled piece of an earlier study only by its button?"""

from streamlit.testing.v1 import AppTest

from edgetest.study.steel.settled_pieces import settled_pieces

PIECE = '[[evidence.pieces]]\nid = "{}"\norigin = "leaf spring"\n'


def form(folder):
    """The form by itself."""
    import streamlit as st

    from edgetest.app.answers.earlier_form import earlier_form
    from edgetest.study.sources import open_source

    earlier_form(open_source(folder))
    st.caption("drawn")


def test_a_button_adds_its_pieces_and_goes(tmp_path):
    trial = '[[evidence.trials]]\npiece = "A"\ntest = "rope"\nresult = "same"\n'
    for name, text in (("old", PIECE.format("A") + trial), ("new", PIECE.format("N"))):
        (tmp_path / name).mkdir()
        (tmp_path / name / "study.toml").write_text(f'title = "{name}"\n{text}', encoding="utf-8")
    new = tmp_path / "new"
    page = AppTest.from_function(form, args=(str(new),), default_timeout=60).run()
    assert not page.exception
    assert "A of old: leaf spring" in " ".join(one.value for one in page.markdown)
    assert len(settled_pieces(new)) == 1
    page.button[0].click().run()
    assert not page.exception
    assert not page.button
    assert settled_pieces(new) == ()
    assert "own_steels.toml" in (new / "study.toml").read_text(encoding="utf-8")
