r"""How does a page show what somebody typed exactly as it was typed?

Streamlit renders the texts of its elements and the labels of its fields as Markdown, with maths,
colours, icons, emoji, links and pictures. What comes from a study, a file or a field goes through
`verbatim` on its way there; `tests/app/test_verbatim_everywhere.py` finds what does not.

Lists to choose from (`st.selectbox`, `st.multiselect`), cells of `st.dataframe` and
`st.data_editor`, placeholders and what stands in a field are plain text: there it would show its
own marks. Everything else is Markdown, the value and the change of `st.metric`, the choices of
`st.radio`, `st.pills` and `st.segmented_control` and the cells of `st.table` among it
(looked at in Streamlit 1.67; `tests/browser/test_hostile_texts.py` looks again).
"""

import re
from itertools import pairwise

from edgetest.store.unseen import shown_whole

# A directive of Streamlit's that changes nothing: it parts a text, so that no sign of two or more
# letters is found across it, and adds nothing to what is read or copied.
APART = ":color[]"
_MARKS = re.compile(
    r"""[*`$~\[\]\#]             # emphasis, code, maths, strike-through, links, headings
    | (?<![^\W_])_ | _(?![^\W_])   # emphasis; within a word it is none
    | \\(?![\w ])                  # what would take the meaning from the letter behind it
    | <(?=[a-zA-Z/!?]|$)           # elements
    | &(?=\#?\w+;)                 # letters by their name
    | :(?=[a-zA-Z]|$)              # colours and other directives
    """,
    re.VERBOSE,
)
_SIGNS = re.compile(
    r"""(?<=:)(?=[\w+-]*[a-z_][\w+-]*: | [+-]1: | 100: | 1234: | material)  # emoji and icons
    | (?<=(?<!\S)[-<>~])(?=(?:->|>|-|=)(?:[\s@]|$)) | (?<=<-)(?=>)          # arrows, ≥ ≤ ≈ —
    | (?<=http)(?=s?://) | (?<=www)(?=\.) | (?=@)                           # addresses
    """,
    re.VERBOSE | re.IGNORECASE,
)
# A command of the program in one of its sentences: set as code, in which nothing has a meaning.
_COMMAND = re.compile(r"((?<!`)`edgetest(?: [\w.-]+)+`(?!`))")
_BEGINNING = re.compile(r"^(\s?(?:\d{1,9}(?=[.)](?:\s|$)))?)([-+=>.)])")  # lists, quotations


def verbatim(text):
    """A text of somebody else's for Streamlit's Markdown, to be read exactly as it was typed.

    Parameters
    ----------
    text : object
        Its words are shown in one line; for several see `verbatim_lines`.

    Returns
    -------
    str
        Markdown. A letter that is not seen is shown by its number. Most texts come back as they
        are: a field's label is read aloud as it stands here, marks and all. Only the program's
        own commands between backticks are code.
    """
    text = re.sub(r"\s*[\n\r]+\s*", " ", shown_whole(str(text)))
    text = re.sub(r"^\s+(?=\S)", " ", text)  # four spaces would make it code
    plain_and_code = enumerate(_COMMAND.split(text))
    marked = "".join(part if at % 2 else _without_meaning(part) for at, part in plain_and_code)
    return unbroken(_BEGINNING.sub(r"\1\\\2", marked))


def _without_meaning(text):
    """Markdown in which no letter has a meaning, wherever it stands in a line."""
    places = [0, *(met.start() for met in _SIGNS.finditer(text)), len(text)]
    parts = [text[begin:end] for begin, end in pairwise(places)]
    return APART.join(_MARKS.sub(r"\\\g<0>", part) for part in parts)


def verbatim_lines(text):
    """A text of several lines, each as it was typed."""
    return "  \n".join(verbatim(line) for line in str(text).splitlines())


def verbatim_list(lines):
    """A list, each line of it as it was typed."""
    return "\n".join(f"- {verbatim(line)}" for line in lines)


def unbroken(words):
    """A sentence in which no line ends between a number and its sign of per cent."""
    return words.replace(" %", "\u00a0%").replace(" µm", "\u00a0µm")


def capital(words):
    """A text as a sentence begins."""
    return words[:1].upper() + words[1:]
