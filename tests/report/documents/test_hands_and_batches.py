"""Who worked and what lay in which batch stand in a line each, where they are noted."""

from types import SimpleNamespace

from edgetest.report.documents.hands_and_batches import batches_words, hands_words, rolls_words


def row(who, blade, cuts, *, waiting=False, **more):
    words = {"note": "", "mishap": "", "exclude": ""} | more
    return SimpleNamespace(operator=who, blade=blade, cuts=cuts, waiting=waiting, **words)


def rows(*told):
    return SimpleNamespace(rows=[row(*each) for each in told])


def read(who, blades, *cuts):
    return [(who, blade, at) for blade in blades.split() for at in cuts]


def test_each_person_stands_with_the_blades_and_the_stages_of_their_rows():
    both = rows(*read("me", "A B", 0, 100), *read("brother", "A B", 200, 300), ("", "A", 400))
    assert hands_words(both) == (
        "me: all blades, 0 and 100 cuts; brother: all blades, 200 and 300 cuts"
    )
    assert hands_words(rows(*read("me", "A", 0, 100))) == "me: A, all stages"
    assert hands_words(rows(("", "A", 0))) == ""


def test_who_read_some_blades_is_not_told_as_who_read_all_stages_of_every_blade():
    apart = rows(*read("Q", "A2 B1", 0, 100), *read("me", "A1 B2", 0, 100), ("me", "A2", 200))
    assert hands_words(apart) == (
        "Q: A2, 0 and 100 cuts; B1, all stages; me: A1 and B2, all stages; A2, 200 cuts"
    )


def test_cuts_that_were_made_and_not_read_are_told_of_who_made_them():
    log = rows(*read("me", "A B", 0, 100))
    log.rows += [row("Tom", "A", 200, waiting=True), row("Tom", "B", 200)]
    assert hands_words(log).endswith("Tom: B, 200 cuts")  # a row that is yet to come says nothing
    log.rows[-2] = row("Tom", "A", 200, waiting=True, note="cut, not read")
    assert hands_words(log).endswith("Tom: all blades, 200 cuts")


def study(*batches, sealed=False):
    blades = [
        SimpleNamespace(id=f"{of}{k}", heat_treatment=of, batch=batch)
        for k, (of, batch) in enumerate(batches, 1)
    ]
    titles = [SimpleNamespace(id="A", title="once"), SimpleNamespace(id="B", title="")]
    return SimpleNamespace(blades=blades, heat_treatments=titles, plan={"sealed": sealed})


def test_batches_are_told_with_their_blades_by_heat_treatment():
    two = study(("A", "Tue"), ("A", "Tue"), ("B", "Tue"), ("B", "Thu"))
    said = batches_words(two).replace("\u200b", "")
    assert said == "Tue: A1 and A2 (once), B3 (B); Thu: B4 (B)"
    assert batches_words(study(("A", "Tue"), ("B", "Tue"))) == ""
    assert batches_words(study(("A", "Tue"), ("A", "Tue"), ("B", "Thu"), sealed=True)) == ""
    assert batches_words(study(("A", "Tue"), ("B", "Thu"))) == ""  # each alone


def test_a_title_with_brackets_of_its_own_stands_in_no_second_pair():
    own = study(("A", "Tue"), ("B", "Thu"), ("B", "Thu"))
    own.heat_treatments[0].title = "shop standard (control)"
    told = batches_words(own).replace("\u200b", "")
    assert told == "Tue: A1, shop standard (control); Thu: B2 and B3 (B)"


def cut(blade, block, *stages):
    """Rows of one run: its cuts, and the roll that is noted there."""
    return [row("", blade, cuts, block=block, batch=roll) for cuts, roll in stages]


def test_the_blades_of_each_roll_are_named_wherever_it_was_begun():
    rows = [
        *cut("L1", "week 1", (0, "coil 1"), (30, ""), (60, "")),
        *cut("L5", "week 4", (0, "coil 1"), (30, ""), (60, "coil 2")),
        *cut("L4", "week 5", (0, "coil 2"), (30, ""), (60, "")),
    ]
    told = "coil 1: L1 and L5 to 30 cuts; coil 2: L4 and L5 after 30 cuts"
    assert rolls_words(SimpleNamespace(rows=rows)) == told
    rows[-1].exclude = rows[-2].exclude = rows[-3].exclude = "slipped"
    assert rolls_words(SimpleNamespace(rows=rows)).endswith("coil 2: L5 after 30 cuts")


def test_one_roll_and_rolls_that_are_the_blocks_are_not_told_again():
    one = [*cut("A", "day 1", (0, "coil 1"), (30, "")), *cut("B", "day 2", (0, "coil 1"))]
    assert rolls_words(SimpleNamespace(rows=one)) == ""
    blocks = [*cut("A", "roll 1", (0, ""), (30, "roll 2")), *cut("B", "roll 2", (0, ""))]
    assert rolls_words(SimpleNamespace(rows=blocks)) == ""
