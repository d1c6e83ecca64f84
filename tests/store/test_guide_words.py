"""Words of a question: what is asked for, and the guide's own words for what a smith calls it."""

import tomllib

from edgetest.store.guide_pages import FOLDER
from edgetest.store.guide_search import passages
from edgetest.store.guide_words import also_said, asked_for, asks_a_meaning


def trade_words():
    """Each word of the data with the guide's words for it."""
    text = (FOLDER / "trade_words.toml").read_text(encoding="utf-8")
    topics = {name: words for name, words in tomllib.loads(text).items() if name != "not_asked_for"}
    return {word: said for words in topics.values() for word, said in words.items()}


def test_words_that_say_nothing_are_not_asked_for_unless_they_are_all():
    assert asked_for("Where do I put my coupon?") == ["coupon"]
    assert asked_for("what is it") == ["what", "is", "it"]


def test_a_meaning_is_asked_by_mean_and_by_what_is_a():
    for question in (
        "What does drawing mean",
        "what is a coupon",
        "what's a station",
        "burr means",
    ):
        assert asks_a_meaning(question)
    assert not asks_a_meaning("what is wrong with the meaner blade")


def test_a_word_and_a_pair_are_said_otherwise():
    said = also_said(["brother", "hardness", "tester"])
    assert "second person" in said["brother"]
    assert "rockwell" in said["hardness tester"]
    assert also_said(["empty"]) == {}


def test_each_word_of_the_data_leads_to_a_word_that_stands_in_the_guide():
    for word, said in trade_words().items():
        assert word == word.lower()
        assert 1 <= len(word.split()) <= 2
        assert set(said) - {word}, word
        for each in said:
            assert passages(each), f"{word}: the guide never says {each!r}"


def test_no_page_fills_the_list():
    for question in ("scale of the camera", "a control blade on every roll", "undo"):
        found = [each.page for each in passages(question)]
        assert max(map(found.count, found)) <= 2


def test_a_mistyped_word_beside_others_is_read_as_the_nearest():
    right, wrong = passages("sparks of a plough disc"), passages("sparcks of a plough disc")
    assert right[0] == wrong[0]
    assert passages("sparcks") == []  # alone, the page asks whether another word was meant
