"""A blade that was treated like one that broke is named, whatever stood since."""

from edgetest.study.steel.held_back import held_back_doubts
from tests.steel.test_blades_left import hooks


def test_the_doubt_names_what_broke_and_its_sisters():
    (told,) = held_back_doubts(hooks())
    assert told.text.startswith(
        "Use neither hook4 of A, which broke, nor hook1 and hook3, which were"
    )
    assert told.gravity == "decides"
    assert list(held_back_doubts(hooks(cycles=3))) == []
