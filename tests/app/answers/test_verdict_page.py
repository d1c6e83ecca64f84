"""The verdict's page: what does not fit together stands above the chances, and nowhere again."""

from tests.app.test_navigation_pages import page, words
from tests.study.steel.test_judge_steel import make_study


def test_what_does_not_fit_together_stands_once(tmp_path, monkeypatch):
    monkeypatch.setenv("EDGETEST_WORKSPACE", str(tmp_path))
    (tmp_path / ".tour_closed").touch()
    evidence = (
        '[[evidence.pieces]]\nid = "bar"\ncoating = "none"\n'
        '[[evidence.heats]]\ncoupon = "a"\nmedium = "oil"\nhardness = 63\ngrain = "coarse"\n'
    )
    make_study(tmp_path / "steel", evidence=evidence)
    run = page("verdict", seconds=60).run()
    assert not run.exception
    assert words(run).count("coarse in the break") == 1
