"""What does a sentence that names an option or a key say on a page? The field that asks for it."""

_WISHES = "“What is wanted, and what a mistake costs”"
_ANOTHER = "under “Another reading, limit or fit”"
_FIELDS = {
    "is asked where --ratio says nothing else": "is asked where nothing else stands above",
    "say so with --fresh": "say so under “What you expect beforehand”",
    "nobody said how long (--life)": "nobody said how long under “What you expect beforehand”",
    "(--history with its own folder)": "(in the list above)",
    "(`edgetest plan STUDY --looks`)": "(“Fix looks beforehand”, on the page Plan)",
    "Choose another grade with --limit.": f"Choose another grade {_ANOTHER}.",
    "write yours as known_steel_hours and blade_hours into [verdict] of study.toml": (
        f"write yours under {_WISHES}"
    ),
}


def on_page(sentence):
    """A sentence of the program in the words of its pages."""
    for said, field in _FIELDS.items():
        sentence = sentence.replace(said, field)
    return sentence
