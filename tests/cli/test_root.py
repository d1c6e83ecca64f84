"""The first help: all commands whole, and a beginning for each of the jobs."""


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
