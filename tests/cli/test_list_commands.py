"""What the program knows is listed: protocols, woods and the guide."""

import pytest

from edgetest.chop.species import SPECIES
from edgetest.store.guide_pages import guide_pages
from edgetest.store.protocol import load_protocol, protocol_ids


def test_protocols_are_listed_and_one_is_told_in_words(run, answer):
    told = answer("protocols")["protocols"]
    assert [each["id"] for each in told] == list(protocol_ids())
    limit = load_protocol("sisal_rope").limit
    code, out, _ = run("protocols", "sisal_rope")
    assert code == 0
    assert "--protocol sisal_rope" in out
    assert all(f"- {caution}" in out for caution in load_protocol("sisal_rope").cautions)
    (one,) = answer("protocols", "sisal_rope")["protocols"]
    assert one["limit"] == {"reading": limit.reading, "value": limit.value, "why": limit.why}
    code, _, err = run("protocols", "sisal")
    assert code == 2
    assert "sisal_rope" in err


@pytest.mark.parametrize(("words", "name"), [(["ash"], "ash, European"), (["Fraxinus"], "ash")])
def test_woods_are_found_by_any_of_their_names(answer, words, name):
    found = answer("woods", *words)["woods"]
    assert any(each["name"].startswith(name) for each in found)
    assert all(each["low"] < each["hardness_n"] < each["high"] for each in found)
    assert len(found) < len(SPECIES) == len(answer("woods")["woods"])


def test_no_wood_of_a_name_is_said(run):
    code, out, _ = run("woods", "granite")
    assert code == 0
    assert 'no wood is called "granite"' in out


@pytest.mark.parametrize("told", [("--help",), ("protocols", "sisal_rope")])
def test_the_beginning_that_is_told_makes_a_study(run, tmp_path, monkeypatch, told):
    monkeypatch.chdir(tmp_path)
    _, out, _ = run(*told)
    (line,) = [line for line in out.splitlines() if "edgetest new my_study" in line]
    code, _, err = run(*line.partition("edgetest ")[2].split())
    assert code == 0, err
    assert (tmp_path / "my_study" / "study.toml").is_file()


def test_a_protocol_is_copied_to_be_changed(tmp_path, run):
    assert run("protocols", "sisal_rope", "--to", tmp_path / "my_test.toml")[0] == 0
    assert 'id = "my_test"' in (tmp_path / "my_test.toml").read_text()
    assert run("protocols", "--to", tmp_path / "other.toml")[0] == 2


def test_the_guide_lists_its_pages_and_prints_one(run, answer):
    told = answer("guide")
    assert {each["name"] for each in told["pages"]} == set(guide_pages())
    assert told["passages"] == []
    code, out, _ = run("guide", "start/borders")
    assert code == 0
    assert out.strip() == guide_pages()["start/borders"].body.strip()
    assert answer("guide", "start/borders.md")["text"].startswith("# ")


def test_a_page_is_read_by_its_bare_name(answer):
    whole = answer("guide", "how_to/plan_a_test")["text"]
    assert answer("guide", "plan_a_test")["text"] == whole
    assert answer("guide", "plan_a_test.md")["text"] == whole
    asked = answer("guide", "plan", "a", "test")
    assert (asked["text"], bool(asked["passages"])) == (None, True)
    assert answer("guide", "borders")["text"] is None  # a word that is looked for


def test_the_guide_is_searched_in_the_makers_words(run, answer):
    found = answer("guide", "control", "blade")["passages"]
    assert found[0]["page"] == "how_to/share_rolls_and_batches"
    code, out, _ = run("guide", "control", "blade")
    assert code == 0
    assert out.startswith(f"{found[0]['title']}, {found[0]['heading']}  ({found[0]['page']})")
    assert found[0]["words"] in out
    assert out.strip().endswith("edgetest guide how_to/share_rolls_and_batches")


def test_what_the_guide_does_not_hold_is_said_with_the_nearest_word(run):
    code, out, _ = run("guide", "roep")
    assert code == 0
    assert 'nothing in the guide holds "roep"; did you mean "rope"?' in out


def test_a_question_without_end_is_not_told_back_whole(run):
    code, out, _ = run("guide", "x" * 5000)
    assert code == 0
    assert len(out) < 200
