"""Criteria and losses: what was shown and left alone is not written down as a wish."""

from streamlit.testing.v1 import AppTest

from edgetest.store.records import load_study
from edgetest.store.workspace import new_study


def page(folder):
    from edgetest.app.answers.criteria_form import criteria_form
    from edgetest.study.sources import open_source

    criteria_form(open_source(folder))


def saved(folder, change=None):
    """The study's wishes after the form was saved, its field of that label changed."""
    at = AppTest.from_function(page, args=(str(folder),), default_timeout=30).run()
    if change is not None:
        label, value = change
        next(field for field in at.number_input if label in field.label).set_value(value)
    at.button[0].click().run()
    assert not at.exception
    assert not at.error
    return load_study(folder).verdict


def test_only_what_was_changed_is_written(tmp_path):
    folder = tmp_path / "s"
    new_study(folder, "sisal_rope", "Gate hinges", blades=("A1",))
    before = (folder / "study.toml").read_bytes()
    assert saved(folder) is None
    assert (folder / "study.toml").read_bytes() == before
    assert saved(folder, ("wrong reuse", 50.0)) == {"wrong_reuse_h": 50.0}
    assert saved(folder, ("at least this share", 0.9)) == {"wrong_reuse_h": 50.0, "life_ratio": 0.9}


def test_hours_typed_with_their_unit_are_shown_and_kept(tmp_path):
    folder = tmp_path / "s"
    new_study(folder, "sisal_rope", "Gate hinges", blades=("A1",))
    with (folder / "study.toml").open("a", encoding="utf-8") as file:
        file.write('\n[verdict]\nwrong_reuse_h = "90 h"\n')
    assert saved(folder, ("wrong discard", 20.0)) == {
        "wrong_reuse_h": "90 h", "wrong_discard_h": 20.0,
    }  # fmt: skip
