"""Who worked and what lay in which batch stand in a line each, where they are noted."""

from types import SimpleNamespace

from edgetest.report.documents.hands_and_batches import batches_words, hands_words


def rows(*told):
    made = [SimpleNamespace(operator=who, cuts=cuts, waiting=False) for who, cuts in told]
    return SimpleNamespace(rows=made)


def test_each_person_stands_with_the_stages_of_their_rows():
    both = rows(("me", 0), ("me", 100), ("brother", 200), ("brother", 300), ("", 400))
    assert hands_words(both) == "me: 0 and 100 cuts; brother: 200 and 300 cuts"
    assert hands_words(rows(("me", 0), ("me", 100))) == "me: all stages"
    assert hands_words(rows(("", 0))) == ""


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
    assert batches_words(study(("A", "Tue"), ("B", "Thu"), sealed=True)) == ""
