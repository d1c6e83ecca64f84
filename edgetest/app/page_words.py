"""What does a sentence that names an option or a key say on a page? The field that asks for it."""

import re

from edgetest.app.answers.rows_named import field_named

_WISHES = "“What is wanted, and what a mistake costs”"
_ANOTHER = "under “Another reading, limit or fit”"
_EXPECTED = "under “What you expect beforehand”"
_FIELDS = {
    "is asked where --ratio says nothing else": "is asked where nothing else stands above",
    "say so with --fresh": f"say so {_EXPECTED}",
    "name further boards (--blocks) to plan more": "name further boards above to plan more",
    "nobody said how long (--life)": f"nobody said how long {_EXPECTED}",
    "(--history with its own folder)": "(in the list above)",
    "draw what is left: `edgetest plan STUDY --anew`": (
        "name the blocks that the log names, or add new blades on the page Blades"
    ),
    "draw them (`edgetest plan STUDY --anew`)": "draw what is left on the page Plan",
    "(`edgetest plan STUDY --looks`)": "(“Fix looks beforehand”, on the page Plan)",
    "plan them first: `edgetest plan STUDY --looks`": (
        "fix them first: “Fix looks beforehand”, on the page Plan"
    ),
    "write yours as known_steel_hours and blade_hours into [verdict] of study.toml": (
        f"write yours under {_WISHES}"
    ),
    "write yours as known_steel_hours into [verdict] of study.toml": f"write yours under {_WISHES}",
    "write yours as blade_hours into [verdict] of study.toml": f"write yours under {_WISHES}",
    "Write how many as blades_wanted into [verdict] of study.toml": (
        f"Write how many under {_WISHES}, “Blades wanted of it”"
    ),
    ', or as batch = "…" in study.toml (`edgetest new` makes a study)': "",
    ', or as batch = "…" in study.toml': "",
    ", or in study.toml, and plan again": ", and plan again",
    "Repeatability, or `edgetest repeatability`, keeps": "Repeatability keeps",
    "`edgetest unseal`, with the word, brings both back": (
        "the page Bench, with the word, brings both back"
    ),
    "copy the protocol with `edgetest protocols NAME --to my_test.toml`, in the study's folder, "
    "and write them into it": "make a protocol of your own on the page Protocols, with them in it",
    ", or with `edgetest scale`, and give": " and give",
    "`edgetest crest`, or a study whose set-up names a needle, reads": (
        "A set-up that names a needle, on the page Photographs under Scale, reads"
    ),
    ", on the page Photographs under Scale, with --um-per-px or --calibration, or as [scale] in "
    "study.toml": ", on the page Photographs under Scale",
    "give --bright-blade, or photograph": "photograph",
    "give --bright-blade to `edgetest profile`, and rolls become chips": (
        "rolls are chips: photograph it dark against a bright ground"
    ),
    "give one (--limit);": f"give one {_ANOTHER};",
    " (page Photographs, Scale; or `edgetest tone`)": " (page Photographs, Scale)",
    "The page Chopper and `edgetest chop` say": "The page Chopper says",
    "on the page Comparison, or with `edgetest compare`": "on the page Comparison",
    "; then `edgetest unseal`": "; then bring them back on the page Bench",
    "or `edgetest unseal` first": "or bring them back first, on the page Bench",
    "(page Log, or `edgetest enter --replace`)": "(page Log)",
    'Write mass_g = "1140 ± 5", the ± as far': (
        "Write each with its own on the page Blades, such as a mass of 1140 ± 5, the ± as far"
    ),
    "a measured hardness under [[woods]] of study.toml": (
        "a measured hardness into the file study.toml, under [[woods]] (no page asks for it)"
    ),
    "Weigh it and write its density under [[woods]] of study.toml": (
        "Weigh it and write its density into the file study.toml, under [[woods]] (no page asks "
        "for it)"
    ),
    "“Correct a reading”, or `edgetest enter --replace`)": "“Correct a reading”)",
    "in the file, with `edgetest enter` or on the page Bench": "in the file or on the page Bench",
    "with `edgetest enter` or on the page Bench: that alone": "on the page Bench: that alone",
    "look's blades: `edgetest compare STUDY --look`": (
        "look's blades, note the look on the page Comparison"
    ),
    "note it with edgetest enter, --evidence known oven_checked=no,": (
        "note it under Your files, tester and oven,"
    ),
    "ask `edgetest verdict` what is next": "ask the page Verdict what is next",
    "Note its standard uncertainty, for 2 %: page Blades, under The study, or typed_scale_u = 0.02 "
    "in study.toml.": ("Write its standard uncertainty on the page Blades, under The study."),
    "enter it with `edgetest enter`, or put its row": "put its row",
    "enter each with `edgetest enter`, or put its row": "put each row",
    "see `edgetest measure` for the reasons": "see the page Photographs for the reasons",
    "(--limit, or limit in study.toml)": f"({_ANOTHER})",
    "run `edgetest repeatability` again": "keep it anew on the page Repeatability",
    "`edgetest fit` reads them, but": "the page Wear curves reads them, but",
    "if that row is wrong, enter it with --replace;": "correct that row if it is wrong;",
    "Write which as the use of each such trial;": (
        "Write which under Trials, “What this blade was made for, if for another use”;"
    ),
    "write that as its temper_c.": "write that there as “The temper that it had, °C”.",
    "and type it with --replace, which puts": "on the page Verdict, and there put",
    "Write blades_wanted under [verdict] in study.toml;": (
        f"Write them under {_WISHES}, “Blades wanted of it”;"
    ),
    "; `edgetest chop` lists it for the rows so far": "; the page Chopper lists it so far",
    ", put its row first in study.toml": ", put its row first",
    "add [scale] with um_per_px to study.toml, or set the scale in the app, page Photographs": (
        "set the scale on the page Photographs"
    ),
    ", or its density once under [[woods]] of study.toml": "",
    "weigh it and write its density under [[woods]] of study.toml": (
        "weigh a piece of it and write density_kg_m3 into its row"
    ),
    " entered with `edgetest enter` or on the page Bench, as": " entered on the page Bench, as",
    "`edgetest undo` takes it back, or correct": "take it back, or correct",
    "`edgetest enter` adds each as it is chopped": "the page Bench adds each as it is chopped",
    " (or add it to study.toml)": " (or add it on the page Blades)",
    " is not in study.toml": " is not in the study",
    "write down what was seen of it (`edgetest enter STUDY --evidence pieces …`)": (
        "write down what was seen of it on the page Verdict"
    ),
    "put the key back into the study's folder, or take `blinded` out of [plan] in study.toml": (
        "put the key back into the study's folder, or take `blinded` out of its study.toml"
    ),
}
_EMPTIED = re.compile(r", as in `(edgetest enter [^`]+ --replace(?: \w+=)+)`")
_FILLED = re.compile(r", as in `(edgetest enter [^`]+ (?:--replace [^`]+|exclude=[A-Z-]+))`")
_RULES = (
    (re.compile(r" \(in study\.toml: \[[^]]+\]\)"), ""),
    (re.compile(r'(here, "[^"]*") in study\.toml'), r"\1 in the study"),
    (re.compile(r"\(`edgetest plan STUDY --looks --most (\d+) --history STUDY`\)"),
     r"(“Fix looks beforehand” up to \1, on the page Plan)"),
    (re.compile(r"\(--reading [\w{}]+, --limit\)"), f"({_ANOTHER})"),
    (re.compile(r"give --limit( in [^ ,;]+)?, or write limit = … into study\.toml"),
     rf"say it\1 {_EXPECTED}"),
    (re.compile(r"give --fresh( in [^ ,;]+)?"), rf"say it\1 {_EXPECTED}"),
    (re.compile(r" \(`--law \w+`(?: or `--law \w+`)*\)"), ""),
    (re.compile(r" \(`--robust`\)"), ""),
    (re.compile(r" \(--[a-z-]+(, --[a-z-]+)*\)"), ""),  # behind the words for the same thing
)  # fmt: skip


def on_page(sentence):
    """A sentence of the program in the words of its pages."""
    for said, field in _FIELDS.items():
        sentence = sentence.replace(said, field)
    emptied = ": open that row, and empty "
    sentence = _EMPTIED.sub(lambda met: f"{emptied}{field_named(met[1])}", sentence)
    sentence = _FILLED.sub(lambda met: f", in the field {field_named(met[1])}", sentence)
    for pattern, field in _RULES:
        sentence = pattern.sub(field, sentence)
    return sentence
