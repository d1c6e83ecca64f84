"""Cards of a study that is set up: which blades they name, how many are shown, names and ids."""

from types import SimpleNamespace

import pytest

from edgetest.errors import UnusableInput
from edgetest.study.facts.draft_blades import (
    blades_of,
    blades_read,
    card_blades,
    card_treatment,
    cards_shown,
    is_filled,
    slug,
    treatment_among,
)


def test_a_card_names_blades_with_what_is_typed_of_all():
    card = {"names": " K1, K2;K3\nK  4,", "angle": "17.5", "edge": "4 in", "title": " old "}
    found = card_blades(card)
    assert [blade["id"] for blade in found] == ["K1", "K2", "K3", "K 4"]
    assert {tuple(blade.items())[1:] for blade in found} == {
        (("angle_per_side_deg", 17.5), ("edge_length_mm", "4 in"), ("title", "old"))
    }
    assert card_blades({"names": "K1"}) == [{"id": "K1"}]
    assert card_blades({}) == []


def test_a_card_without_a_blade_is_refused_where_anything_is_typed():
    with pytest.raises(UnusableInput, match="no blade is named"):
        card_blades({"names": "", "angle": "17.5"})
    with pytest.raises(UnusableInput, match="no blade is named"):
        card_blades({"treatment": "hard"})
    with pytest.raises(UnusableInput, match="angle_per_side_deg"):
        card_blades({"names": "K1", "angle": "steep"})
    assert not is_filled({"names": "  ", "angle": ""})
    assert is_filled({"names": "", "angle": " 1"})


def draft(job="edge", *cards, **more):
    facts = {"job": job, "cards": cards, "blades": (), "heat_treatments": (), "control": None}
    return SimpleNamespace(**facts | more)


FILLED = {"names": "K1"}


@pytest.mark.parametrize(
    ("of", "another", "count"),
    [
        (draft("edge"), False, 2),
        (draft("chopper"), False, 1),
        (draft("steel"), False, 0),
        (draft("steel"), True, 1),
        (draft("edge", FILLED), False, 2),
        (draft("edge", FILLED, {}, {"names": " "}), False, 2),
        (draft("edge", FILLED, {}, FILLED), False, 3),
        (draft("edge", FILLED, FILLED), False, 2),
        (draft("edge", FILLED, FILLED), True, 3),
        (draft("edge", FILLED), True, 2),
    ],
)
def test_a_job_begins_with_as_many_cards_as_it_compares(of, another, count):
    assert len(cards_shown(of, another=another)) == count


def test_blades_of_cards_and_copies_stand_together():
    cards = ({"names": "K1, K2", "treatment": " temper  190 °C "}, {"names": "R", "known": "yes"},
             {"names": " "}, {"names": "S1", "treatment": "temper 190 °C"})  # fmt: skip
    copied = {"id": "C", "heat_treatment": "old"}
    of = draft("edge", *cards, blades=(copied,), heat_treatments=({"id": "old"},))
    blades, treatments, control = blades_of(of)
    assert [blade["id"] for blade in blades] == ["K1", "K2", "R", "S1", "C"]
    assert [blade.get("heat_treatment") for blade in blades] == [
        "temper_190_c", "temper_190_c", None, "temper_190_c", "old",
    ]  # fmt: skip
    assert [each["id"] for each in treatments] == ["old", "temper_190_c"]
    assert control == "R"
    assert blades_of(draft("edge", FILLED, control="K1"))[2] == "K1"


def test_a_blade_that_stands_twice_is_refused():
    with pytest.raises(UnusableInput, match="blade K1 is there already"):
        blades_of(draft("edge", FILLED, blades=({"id": "K1"},)))


def test_a_heat_treatment_joins_once():
    among = [{"id": "hard"}]
    assert treatment_among(among, {"id": "hard", "title": "Hard"}) == "hard"
    assert treatment_among(among, "Hard") == "hard"
    assert treatment_among(among, {"title": "Soft"}) == "soft"
    assert [each["id"] for each in among] == ["hard", "soft"]


@pytest.mark.parametrize(
    ("text", "name"),
    [("Temper 190 °C", "temper_190_c"), ("190 °C", "s_190_c"), ("--", "s"), ("ÄÖ x", "x")],
)
def test_a_name_can_stand_as_a_file_s(text, name):
    assert slug(text) == name


@pytest.mark.parametrize(
    ("card", "title", "at"),
    [
        ({"treatment": "soft", "temper": "190"}, "soft", 190),
        ({"temper": "375 °F"}, "temper 375 °F", "375 °F"),
        ({"temper": "190"}, "temper 190 °C", 190),
    ],
)
def test_a_temper_of_a_card_is_a_step_of_its_heat_treatment(card, title, at):
    steps = [{"kind": "temper", "temperature_c": at}]
    assert card_treatment(card) == {"title": title, "steps": steps}
    _, (made,), _ = blades_of(draft("edge", {"names": "K1", **card}))
    assert made["steps"] == steps


def test_a_temper_that_is_none_and_two_of_one_name_are_refused():
    with pytest.raises(UnusableInput, match="temperature_c"):
        card_treatment({"temper": "blue"})
    two = [{"names": f"K{t}", "treatment": "soft", "temper": t} for t in ("190", "210")]
    with pytest.raises(UnusableInput, match="soft has two tempers"):
        blades_of(draft("edge", *two))


@pytest.mark.parametrize(
    ("names", "said"),
    [
        ("K1", "1 blade: K1"),
        ("A1 A2", "1 blade: A1 A2. Several have commas between."),
        ("A1, A2", "2 blades: A1, A2"),
    ],
)
def test_the_blades_of_a_card_are_told_back_also_where_there_is_one(names, said):
    assert blades_read(card_blades({"names": names})) == said
