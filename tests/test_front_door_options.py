"""Options of the verbs: named, put right, shown with the default that the work has."""

import inspect

import pandas as pd
import pytest

import edgetest as et
from edgetest.store.places import shipped

CUTS = (0, 25, 50, 100, 200)


WIDTHS = {"soft": (2.5, 6.1, 8.2, 11.5, 16.2), "hard": (2.4, 5.2, 6.9, 9.4, 13.1)}


def frame(**changed):
    """A log of four blades as a DataFrame."""
    rows = [
        {"blade": f"{name[0]}{i}", "heat_treatment": name, "cuts": cuts,
         "edge_width_um": width * (1 + 0.02 * i)}
        for name, widths in WIDTHS.items()
        for i in (1, 2)
        for cuts, width in zip(CUTS, widths, strict=True)
    ]  # fmt: skip
    return pd.DataFrame(rows).assign(**changed)


OPTIONED = ("case", "compare", "fit", "plan", "report")


@pytest.mark.parametrize("name", OPTIONED)
def test_a_mistyped_option_is_named_with_the_verb_and_what_there_is(name):
    with pytest.raises(TypeError) as caught:
        getattr(et, name)("nowhere", levle=0.9, diffusivity="agren")
    told = str(caught.value)
    near = "" if name == "case" else "; did you mean level?"
    assert told.startswith(f'{name}: there is no option "levle"{near}')
    assert all(option in told for option in inspect.signature(getattr(et, name)).parameters)


def test_a_mistyped_limit_is_put_right():
    with pytest.raises(TypeError, match='compare: there is no option "limits"; did you mean limit'):
        et.compare(frame(), limits=12)


def test_a_document_of_chops_refuses_what_only_wear_has():
    hatchets = shipped("sample_runs") / "camp_hatchet_study"
    with pytest.raises(TypeError, match='report of a chop test: there is no option "limit"'):
        et.report(hatchets, limit=12)


def defaults(verb):
    """What each option of a verb is where it is not given."""
    return {name: one.default for name, one in inspect.signature(verb).parameters.items()}


def test_every_option_is_shown_with_the_default_that_the_work_has():
    from edgetest.steel.usual_pack import USUAL_PACK
    from edgetest.study.wear.analysis import AS_THE_STUDY_SAYS
    from edgetest.study.wear.plan_options import USUAL_PLAN

    for verb, record in (
        (et.fit, AS_THE_STUDY_SAYS),
        (et.compare, AS_THE_STUDY_SAYS),
        (et.report, AS_THE_STUDY_SAYS),
        (et.plan, USUAL_PLAN),
        (et.case, USUAL_PACK),
    ):
        held = {**vars(record), "history": ()} if verb is et.compare else vars(record)
        shown = defaults(verb)
        assert {name: shown[name] for name in shown if name in held} == {
            name: held[name] for name in shown if name in held
        }
    # the looks of a study are fixed in its plan: no answer may wish for others
    assert {*defaults(et.compare)} >= {*vars(AS_THE_STUDY_SAYS)} - {"looks"}
    assert {*defaults(et.plan)} >= {*vars(USUAL_PLAN)}
    own = {"log", "history", "workers"}
    for of in (et.chop, et.compare):
        assert {*defaults(of)} - {*defaults(et.report)} <= own


@pytest.mark.parametrize("name", OPTIONED)
def test_help_names_every_option(name):
    import pydoc

    shown = pydoc.plain(pydoc.render_doc(getattr(et, name)))
    assert "**" not in shown.split("\n\n")[1].splitlines()[0]
    for option in defaults(getattr(et, name)):
        assert f"{option}:" in shown
    assert "ForwardRef" not in shown
