"""The first help: all commands whole, and a beginning for each of the jobs."""

import pytest

from edgetest.cli.root import say, say_each


def test_the_help_says_every_command_whole_and_begins_each_of_the_three_jobs(run):
    code, out, _ = run("--help")
    assert code == 0
    listed = " ".join(out.split("Commands:")[1].split())
    assert "..." not in listed
    assert "photographs, or in all photographs of studies." in listed
    for begun in ("--protocol sisal_rope", "--protocol billet_chop", '--steel-for "hedging tool"'):
        assert begun in out


def test_an_endless_number_is_refused_by_the_option_that_it_was_given_for(run):
    code, _, err = run("plan", "nowhere", "--life", "1e400")
    assert code == 2
    assert "'--life': 1e400 is endless: give a number." in err


def test_a_number_that_is_not_whole_is_told_so_and_one_that_may_have_a_point_how_to_write_it(run):
    told = {
        "--runs 1.5": "'1.5' is not a whole number: write digits only, such as 3.",
        "--seed x": "'x' is not a whole number: write digits only, such as 3.",
        "--seed -1": "'--seed': -1 is not in the range x>=0",
        "--runs 0": "'--runs': 0 is not in the range x>=1",
        "--life x": "'x' is not a number: write digits with a decimal point, such as 0.4.",
        "--ratio x": "'x' is not a number: write digits with a decimal point, such as 0.4.",
    }
    for given, words in told.items():
        code, _, err = run("plan", "nowhere", *given.split())
        assert code == 2
        assert words in err


def test_a_per_cent_is_bidden_as_a_share_only_where_that_share_would_be_taken(run):
    _, _, err = run("chop", "nowhere", "--level", "95")
    assert "Write it as a share: 0.95 for 95" in err
    for share in ("1.2", "50", "200"):
        code, _, err = run("chop", "nowhere", "--level", share)
        assert code == 2
        assert "is not in the range 0.5<x<1. See" in err, share


@pytest.mark.parametrize("documents", [[], [{"a": "µm\n", "b": [1, {}]}, {"a": None}]])
def test_documents_told_one_by_one_are_told_as_a_list_is(documents, capsys):
    say(documents, "", True)
    whole = capsys.readouterr().out
    say_each(iter(documents), iter(()), True)
    assert capsys.readouterr().out == whole
