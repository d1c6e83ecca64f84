"""The guide is searched: a maker's own words find the page where the answer stands."""

import pytest

from edgetest.store.guide_pages import guide_pages
from edgetest.store.guide_search import meant_by, passages

QUESTIONS = {
    "how many blades do I need": "how_to/plan_a_test",
    "may I share one roll of rope": "how_to/share_rolls_and_batches",
    "control blade": "how_to/share_rolls_and_batches",
    "what does my customer read": "how_to/make_the_document",
    "is there lead in the paint": "how_to/sort_scrap",
    "a knot in the wood": "how_to/chop_test_a_hatchet",
    "the photograph was refused": "how_to/when_a_photograph_is_refused",
    "scale of my microscope": "how_to/find_the_scale",
    "stop the test early": "how_to/look_before_the_end",
    "file skates": "how_to/quench_a_coupon",
    "how long at 900 °C in charcoal": "how_to/pack_with_carbon",
    "rests_on_given_up": "reference/doubts",
    "what is makes_blades": "reference/glossary",
    "makes blades left": "reference/steel_tests",
    "known steel hours": "reference/steel_tests",
    "what goes into known_steel_hours": "reference/glossary",
}


@pytest.mark.parametrize("question", QUESTIONS)
def test_a_question_in_a_makers_words_finds_the_page(question):
    assert QUESTIONS[question] in [each.page for each in passages(question)]


def test_a_passage_stands_on_its_page_below_its_heading():
    pages = guide_pages()
    for question in QUESTIONS:
        for each in passages(question):
            page = pages[each.page]
            assert each.title == page.title
            assert each.heading in {page.title, *page.places.values()}
            for part in each.words.strip("… ").split()[:3]:
                assert part.strip(":").replace("*", "") in page.body.replace("*", "")


@pytest.mark.parametrize(
    ("question", "told"),
    [
        ("pole that splits", ("lengthwise", "`exclude`", "chop another")),
        ("pole that splits instead of severing", ("lengthwise", "`exclude`", "chop another")),
        ("loose handle", ("handle loose? Write `mishap`",)),
    ],
)
def test_what_went_amiss_at_the_block_is_answered_first(question, told):
    words = passages(question)[0].words
    assert [each for each in told if each not in words] == []


@pytest.mark.parametrize(
    ("question", "page", "heading"),
    [
        ("mixed up heat treatment", "reference/formats", "A heat treatment that you mixed up"),
        ("heat treatment mislabelled", "reference/formats", "A heat treatment that you mixed up"),
        ("slip of the pen", "how_to/cut_at_the_bench", "Mend a mistake"),
        ("run interrupted by rain", "how_to/cut_at_the_bench", "Count"),
        ("overnight", "how_to/cut_at_the_bench", "Count"),
    ],
)
def test_a_slip_and_a_run_broken_off_are_answered_first(question, page, heading):
    first = passages(question)[0]
    assert (first.page, first.heading) == (page, heading)


def test_a_mended_mistake_names_what_replaces_a_value():
    assert "`enter --replace`" in passages("slip of the pen")[0].words


def test_words_are_compared_by_their_stems():
    found = [passages(word)[0] for word in ("chip", "chips", "chipping")]
    assert len({(each.page, each.heading) for each in found}) == 1


def test_a_heading_is_one_section_and_a_passage_has_no_marks():
    found = passages("blade batch", most=50)
    assert len({(each.page, each.heading) for each in found}) == len(found) > 10
    assert not any("**" in each.words or "](" in each.words for each in found)
    assert not any(each.words.startswith(("|", "- ", "#")) for each in found)


def test_a_long_passage_is_cut_about_the_word():
    (each, *_) = [one for one in passages("wedge", most=50) if "…" in one.words]
    assert "wedge" in each.words.lower()
    assert len(each.words) < 320


def test_tables_are_left_out_and_pages_of_figures_come_last():
    found = [each.page for each in passages("knots", most=50)]
    assert not [name for name in found if name.startswith("tables")]
    assert not found[0].startswith("reference/accuracy")


def test_a_mistyped_word_has_a_nearest_one():
    assert passages("jjjjx") == []
    assert meant_by("balde") == "blade"
    assert meant_by("jjjjx") == ""


@pytest.mark.parametrize(
    "typed", ['"', "*", "a OR", "NEAR(a b)", "words: knot", "-", "", " ", "\0knot", "🪓", "_ _",
              "knot " * 5000, " ".join(f"w{n}" for n in range(5000))],
)  # fmt: skip
def test_whatever_is_typed_is_looked_for_as_words(typed):
    assert isinstance(passages(typed), list)


def test_words_that_stand_for_others_are_shown_as_such(run):
    """Of the sentence "*photographs* named in the log …: *which*." none is a word to be typed."""
    status, told, _ = run("guide", "photographs named in the log cannot be found")
    assert status == 0
    assert "\n  *photographs* named in the log cannot be found in the folder photos" in told
    assert not any(words.startswith("photographs named") for words in told.split("\n  "))


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ("I felt that a whole roll was damp; where do I write it", "`note`"),
        ("damp roll all blades the same", "`note`"),
        (
            "Does the control blade wear out; must it be new, how often may I sharpen it",
            "Must it be new",
        ),
        ("typed divisions instead of micrometres", "multiply that blade"),
        ("one blade reads far lower than all the others", "one blade reads far lower"),
        ("Why did the interval double when I left out one blade of eight?", "one blade of eight"),
        ("every stage takes an hour may I read fewer places", "read fewer places"),
        ("what if my rope runs out", "my rope runs out"),
        ("one blade broke", "broke in mid-test"),
        ("how many batches", "each by itself"),
    ],
)
def test_what_a_maker_of_billhooks_asked_is_answered_first_or_second(asked, said):
    page = guide_pages()["reference/questions"]
    assert said in " ".join(page.body.split())
    assert "reference/questions" in [each.page for each in passages(asked)[:2]]
