"""The verdict's page: what does not fit together stands above the chances, and nowhere again."""

from edgetest.store.records import load_study
from tests.app.test_navigation_pages import page, words
from tests.study.steel.test_judge_steel import make_study
from tests.study.steel.test_lot_lines import study_of


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


def test_a_temper_whose_degrees_are_to_be_looked_up_has_its_form_open(tmp_path, monkeypatch):
    monkeypatch.setenv("EDGETEST_WORKSPACE", str(tmp_path))
    (tmp_path / ".tour_closed").touch()
    evidence = (
        '[[evidence.pieces]]\nid = "bar"\ncoating = "none"\nlead = "no"\nmagnet = "strong"\n'
        '[[evidence.heats]]\ncoupon = "a"\nmedium = "oil"\nhardness_below = 62\ngrain = "fine"\n'
        '[[evidence.tempers]]\ncoupon = "a"\ntemperature_c = 400\nhardness_below = 57\n'
    )
    make_study(tmp_path / "steel", evidence=evidence)
    run = page("verdict", seconds=60).run()
    assert not run.exception
    assert "look up whether that temper was in °F or in °C" in words(run)
    assert "**Tempers**" in [one.value for one in run.markdown]


def test_blades_wanted_are_saved_as_a_whole_number_and_a_part_of_one_is_refused(
    tmp_path, monkeypatch
):
    monkeypatch.setenv("EDGETEST_WORKSPACE", str(tmp_path))
    (tmp_path / ".tour_closed").touch()
    make_study(tmp_path / "steel", evidence='[[evidence.pieces]]\nid = "bar"\ncoating = "none"\n')
    run = page("verdict", seconds=60).run()
    next(one for one in run.toggle if one.label.startswith("What is wanted")).set_value(True).run()
    for typed, faults in (("12", 0), ("2.5", 1)):
        field = next(one for one in run.text_input if one.label == "Blades wanted of it")
        field.set_value(typed)
        next(one for one in run.button if one.label == "Save what is wanted").click().run()
        assert not run.exception
        assert len(run.error) == faults
        assert load_study(tmp_path / "steel").verdict["blades_wanted"] == 12
    assert "2.5 is not a whole number" in run.error[0].value


def test_the_page_names_its_own_fields_where_the_command_prints_lines(tmp_path, monkeypatch):
    monkeypatch.setenv("EDGETEST_WORKSPACE", str(tmp_path))
    (tmp_path / ".tour_closed").touch()
    folder = study_of(tmp_path / "discs", ("A", 1, "60-65"), ("C", 1, "45-50"))
    run = page("verdict", seconds=60).run()
    assert not run.exception
    assert "in the field “Bought together with (name of the lot)” of disc C." in words(run)
    assert "edgetest enter" not in words(run)
    again = (("A", 1, "60-65"), ("A", 2, "45-50"), ("A", 3, "60-65"))
    study_of(folder, *again, discs="A")
    run = page("verdict", seconds=60).run()
    assert "in the field “Hardness left out, and why” of coupon A2, heat 1, of disc A" in words(run)
    assert "edgetest enter" not in words(run)


def test_whether_the_oven_was_checked_is_asked_for_once(tmp_path, monkeypatch):
    monkeypatch.setenv("EDGETEST_WORKSPACE", str(tmp_path))
    (tmp_path / ".tour_closed").touch()
    folder = study_of(tmp_path / "discs", ("A", 1, "60-65"), discs="A")
    asked = "Where none checks the oven, note it under Your files, tester and oven"
    assert asked in words(page("verdict", seconds=60).run())
    toml = folder / "study.toml"
    said = toml.read_text("utf-8").replace("[evidence]\n", "[evidence]\noven_checked = true\n", 1)
    toml.write_text(said, "utf-8")
    found = words(page("verdict", seconds=60).run())
    assert "It shows which temper gives the hardness wanted" in found
    assert "Where none checks the oven" not in found


def test_the_page_of_the_pieces_that_change_hands_is_offered_once_some_are_picked(
    tmp_path, monkeypatch
):
    monkeypatch.setenv("EDGETEST_WORKSPACE", str(tmp_path))
    (tmp_path / ".tour_closed").touch()
    study_of(tmp_path / "discs", ("A", 1, "60-65"), ("C", 1, "45-50"))
    run = page("verdict", seconds=60).run()
    label = "Write the page of these pieces"
    assert label not in [one.label for one in run.button]
    (pieces,) = [one for one in run.multiselect if one.label == "Pieces that change hands"]
    pieces.set_value(["disc C"]).run()
    next(one for one in run.button if one.label == label).click().run()
    assert not run.exception
    assert "handed_over.pdf" in str([one.proto for one in run.get("download_button")])
