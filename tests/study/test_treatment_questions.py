"""What `check` asks of heat treatments whose steps or batches leave open what differs."""

import pytest

from edgetest.store.workspace import new_study
from edgetest.study.treatment_questions import asked_of_treatments

QUENCH = {"kind": "quench", "medium": "oil"}


def temper(celsius, **more):
    return {"kind": "temper", "temperature_c": celsius, **more}


def asked(folder, first, second, batches=("", "", "", "")):
    """The questions about two heat treatments of two blades each (invented)."""
    blades = [
        {"id": name, "heat_treatment": name[0].lower(), **({"batch": batch} if batch else {})}
        for name, batch in zip(("A1", "A2", "B1", "B2"), batches, strict=True)
    ]
    treatments = [{"id": "a", "steps": first}, {"id": "b", "steps": second}]
    study = new_study(folder / "s", "sisal_rope", "s", blades=blades, heat_treatments=treatments)
    return [str(one) for one in asked_of_treatments(study)]


def test_the_same_steps_twice_are_asked_about(tmp_path):
    (told,) = asked(tmp_path, [QUENCH, temper(200)], [QUENCH, temper(200)])
    assert "heat treatments a and b name the same steps (quench oil; temper 200 °C)" in told
    assert "study.toml, heat_treatments" in told
    assert "write what differs between them" in told


def of_steels(folder, steels, treatments="aabb"):
    """The questions about four blades (invented) of these steels, all hardened alike."""
    steps = [QUENCH, temper(200)]
    blades = [
        {"id": f"X{i}", "heat_treatment": of, **({"steel": steel} if steel else {})}
        for i, (of, steel) in enumerate(zip(treatments, steels, strict=True))
    ]
    known = [{"id": "a", "steps": steps}, {"id": "b", "steps": steps}]
    study = new_study(folder / "s", "sisal_rope", "s", blades=blades, heat_treatments=known)
    return [str(one) for one in asked_of_treatments(study)]


def test_two_steels_treated_alike_are_what_is_compared_and_no_question(tmp_path):
    assert not of_steels(tmp_path, ("disc", "Disc", "tine", "tine"))


@pytest.mark.parametrize("steels", [("disc", "", "tine", "tine"), ("disc", "disc", "disc", "tine")])
def test_the_same_steps_are_asked_about_where_the_steels_do_not_part_them(tmp_path, steels):
    (told,) = of_steels(tmp_path, steels)
    assert "heat treatments a and b name the same steps" in told
    assert "(two steels: write the steel of every blade)" in told


def test_two_steels_of_one_heat_treatment_compare_nothing_and_the_cure_is_named(tmp_path):
    (told,) = of_steels(tmp_path, ("disc", "Tine", "tine", "disc"), "aaaa")
    assert "all blades have the heat treatment a, so nothing is compared" in told
    assert "their steels differ (disc; Tine)" in told
    assert "a heat treatment with an id of its own, with the same steps" in told


def test_one_steel_of_one_heat_treatment_asks_nothing(tmp_path):
    assert not of_steels(tmp_path, ("disc", "disc", "", "disc"), "aaaa")


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ([QUENCH, temper(200)], [QUENCH, temper(260)]),
        ([], []),
        ([temper(200, note="edge alone")], [temper(200)]),
    ],
)
def test_steps_that_differ_and_steps_that_nobody_noted_are_not(tmp_path, first, second):
    assert not asked(tmp_path, first, second)


def test_one_quench_of_blades_tempered_apart_is_asked_about(tmp_path):
    steps = [QUENCH, temper(200)], [QUENCH, temper(260)]
    (told,) = asked(tmp_path, *steps, ("3 May",) * 4)
    assert 'batch "3 May" stands on blades of a and b, whose tempers differ' in told
    assert "if each blade was tempered by itself, leave it" in told
    assert "write the load of the temper as the batch" in told


def test_two_quenches_of_blades_tempered_apart_are_asked_about_as_one_is(tmp_path):
    steps = [QUENCH, temper(200)], [QUENCH, temper(260)]
    told = asked(tmp_path, *steps, ("1", "2", "1", "2"))
    assert [
        f'batch "{i}" stands on blades of a and b' in one for i, one in zip("12", told, strict=True)
    ] == [True, True]


@pytest.mark.parametrize("batches", [("1", "2", "3", "4"), ("1", "1", "2", "2"), ("",) * 4])
def test_batches_that_may_be_loads_of_the_temper_are_not(tmp_path, batches):
    steps = [QUENCH, temper(200)], [QUENCH, temper(260)]
    assert not asked(tmp_path, *steps, batches)


@pytest.mark.parametrize("later", [[temper(200), temper(200)], [temper(200), temper(260)]])
def test_one_batch_of_blades_quenched_apart_is_not_the_load_in_which_they_part(tmp_path, later):
    steps = [QUENCH, later[0]], [{**QUENCH, "repeats": 2}, later[1]]
    (told,) = asked(tmp_path, *steps, ("oven load 1",) * 4)
    kinds = "quench" if later[0] == later[1] else "quench and temper"
    assert f'batch "oven load 1" stands on blades of a and b, which differ in {kinds}' in told
    assert "write the load of the quench as the batch" in told


def test_batches_within_a_heat_treatment_and_a_step_noted_of_one_alone_are_not_asked_about(
    tmp_path,
):
    steps = [QUENCH, temper(200)], [{**QUENCH, "repeats": 2}, temper(200)]
    assert not asked(tmp_path, *steps, ("1", "2", "3", "4"))
    (tmp_path / "b").mkdir()
    assert not asked(tmp_path / "b", [temper(200)], [QUENCH, temper(200)], ("1",) * 4)
