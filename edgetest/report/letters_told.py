"""Which names can no font of this machine set, and how is that told?"""

from edgetest.doubts import Where, doubt
from edgetest.report.letters import (
    LEFT_OUT,
    each_word,
    fonts_for,
    printable,
    shorten,
    without_controls,
    words_without_form,
)

MOST_NAMED = 6  # names in a sentence; the JSON of the doubt has all their letters


def letters_doubts(facts):
    """The doubt that names what cannot be set in a PDF and in figures, if there is any.

    Parameters
    ----------
    facts : nested plain data
        All texts that may be set: a study's facts, or a document's words.

    Returns
    -------
    tuple of Doubt
        One or none.
    """
    said: list[str] = []
    each_word(facts, said.append)
    known = fonts_for("".join(said))[1]
    names = list(dict.fromkeys(name for text in said for name in words_without_form(text, known)))
    if not names:
        return ()
    letters = dict.fromkeys(
        letter for name in names for letter in name if printable(letter, known) != letter
    )
    shown = ", ".join(f"“{shorten(name)}”" for name in names[:MOST_NAMED])
    more = f" and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else ""
    return (doubt("letters_without_font", names=shown + more, where=Where(value="".join(letters))),)


def study_letters_doubts(study):
    """The same of all that is typed in a study; none of a log without one."""
    return () if study is None else letters_doubts(study.model_dump(mode="json"))


def foot_words(said, known):
    """What a page's foot says of letters that its words hold and no font has; else nothing."""
    marks = []
    for text in said:
        shown = printable(text, known)
        if shown != without_controls(text):
            marks.append(LEFT_OUT if LEFT_OUT in shown and LEFT_OUT not in text else "[number]")
    if not marks:
        return ""
    return (
        f"{' and '.join(sorted(set(marks)))}: letters that no font here has, in Unicode numbers; "
        "the page for browsers has them"
    )
