"""A smith's own questions: each names places that are there, and the search shows most of them."""

import pytest

from tests.guide.questions import JOBS, places_of_the_guide, questions, shown_at

# Floors, a little below what was measured: one question more or less is no fault.
AMONG_SIX = 0.75
AMONG_THREE = 0.57


def test_fifty_questions_a_job_are_numbered_through():
    every = questions()
    assert [each.number for each in every] == list(range(1, 151))
    assert {job: sum(each.job == job for each in every) for job in JOBS} == dict.fromkeys(JOBS, 50)


def test_every_place_that_answers_is_there():
    there = places_of_the_guide()
    for each in questions():
        assert set(each.places) <= there, each.asked


def test_nearly_every_question_is_answered_somewhere():
    assert sum(not each.places for each in questions()) <= 2


def test_the_search_shows_the_answer_of_most_questions_that_it_was_not_made_on():
    shown = [shown_at(each) for each in questions() if each.places and not each.is_odd]
    assert sum(turn is not None for turn in shown) >= AMONG_SIX * len(shown)
    assert sum(turn is not None and turn <= 3 for turn in shown) >= AMONG_THREE * len(shown)


@pytest.mark.parametrize(
    ("asked", "answer"),
    [
        ("touch up the edge in mid test", "May I sharpen in between"),
        ("how many swings missed is too many", "How many near misses"),
        ("antler test how", "The antler test: how many blows"),
        ("older hatchet worn fair to compare", "The older hatchet, the control tool, is worn"),
        ("customer asks how long until it must be sharpened", "My customer asks how long"),
    ],
)
def test_a_question_from_the_chopping_block_is_shown_its_answer(run, asked, answer):
    assert answer in run("guide", *asked.split())[1]


CHECKS = "A grade is checked twice or three times at one stage"
STOP = "and then passed again: when do I stop it"


@pytest.mark.parametrize(
    ("asked", "answer"),
    [
        ("grade checked twice at one stage which counts", CHECKS),
        ("repeated grade check_no majority", CHECKS),
        ("two of three checks pass at a stage", CHECKS),
        ("a blade failed then passed again", STOP),
        ("paper test disagrees with itself repeat the check", STOP),
        ("how many times try the paper at each stage", STOP),
        ("which grade ends the life", "Which grade ends the life: which limit to choose"),
    ],
)
def test_how_repeated_grades_count_is_shown_to_who_asks_in_his_own_words(run, asked, answer):
    assert answer in run("guide", *asked.split())[1]


@pytest.mark.parametrize(
    ("asked", "answer"),
    [
        ("one blade stood make one more second trial blade why", "How many blades of a piece must"),
        ("how many trial blades must stand before I make the rest", "How many blades of a piece"),
        ("How many blades of a piece must stand", "So many blades of the piece must stand"),
    ],
)
def test_a_question_of_a_found_steel_is_shown_its_answer_first(run, asked, answer):
    assert answer in run("guide", *asked.split())[1].splitlines()[1]


@pytest.mark.parametrize("asked", ["which cautions when chopping", "chopping cautions"])
def test_cautions_for_chopping_are_those_of_its_page_first(run, asked):
    title, words = run("guide", *asked.split())[1].splitlines()[:2]
    assert title.startswith("Chop test a hatchet")
    assert words.strip().startswith("Caution. Wear glasses")
