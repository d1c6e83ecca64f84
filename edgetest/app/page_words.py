"""What does a sentence that names an option or a key say on a page? The field that asks for it."""

_FIELDS = {
    "is asked where --ratio says nothing else": "is asked where nothing else stands above",
    "say so with --fresh": "say so under “What you expect beforehand”",
    "write yours as known_steel_hours and blade_hours into [verdict] of study.toml": (
        "write yours under “What is wanted, and what a mistake costs”"
    ),
}


def on_page(sentence):
    """A sentence of the program in the words of its pages."""
    for said, field in _FIELDS.items():
        sentence = sentence.replace(said, field)
    return sentence
