"""The first help: all commands whole, and a beginning for each of the jobs."""


def test_the_help_says_every_command_whole_and_begins_each_of_the_three_jobs(run):
    code, out, _ = run("--help")
    assert code == 0
    listed = " ".join(out.split("Commands:")[1].split())
    assert "..." not in listed
    assert "photographs, or in all photographs of studies." in listed
    for begun in ("--protocol sisal_rope", "--protocol billet_chop", '--steel-for "hedging tool"'):
        assert begun in out
