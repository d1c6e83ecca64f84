"""How is a name of any script set in a figure, where a font of this machine has its letters?"""

import logging
import warnings
from contextlib import contextmanager
from functools import partial

from edgetest.report.letters import fonts_for, printable, short_names, shorten

LONGEST = 34  # signs of a label whose letters are written by number; a panel has room for them
PAIR = " : "  # between the names of a ratio


@contextmanager
def letters_set(figure, *, as_typed=False):
    """The figure with each label in fonts that have its letters; afterwards as it was.

    Parameters
    ----------
    figure : matplotlib Figure
    as_typed : bool
        Keep letters that no font of this machine has: whoever shows the figure finds letters
        of its own, as a browser does. Else they are written by their numbers.
    """
    texts = _foreign(figure)
    before = [(one, one.get_text(), one.get_fontfamily()) for one in texts]
    ticks: list = []
    try:
        for text, label, family in before:
            files, _ = fonts_for(label)
            text.set_fontfamily([*family, *map(_family, files)])
        if not as_typed:
            labels = [label for _, label, _ in before]
            shown = dict(zip(labels, _settable(labels), strict=True))
            for text, label, _ in before:
                text.set_text(shown[label])
            ticks = _ticks_shown(figure, shown)
        with _quiet():
            yield
    finally:
        for axis, formatter in ticks:
            axis.set_major_formatter(formatter)
        for text, label, family in before:
            text.set_text(label)
            text.set_fontfamily(family)


def has_letters_without_form(figure):
    """Whether a label of the figure holds a letter that no font of this machine has."""
    labels = [text.get_text() for text in _foreign(figure)]
    return any(printable(label, fonts_for(label)[1]) != label for label in labels)


@contextmanager
def _quiet():
    """No word on single glyphs and weights from the drawing library: a doubt tells it all."""
    finder = logging.getLogger("matplotlib.font_manager")
    level = finder.level
    finder.setLevel(logging.ERROR)
    try:
        with warnings.catch_warnings():
            warnings.filterwarnings("ignore", message="Glyph .* missing from font")
            yield
    finally:
        finder.setLevel(level)


def _ticks_shown(figure, shown):
    """Labels of ticks changed too, which an axis writes anew; what made them, axis by axis."""
    changed = {label for label, settable in shown.items() if settable != label}
    axes = [axis for ax in figure.axes for axis in (ax.xaxis, ax.yaxis)]
    named = [a for a in axes if changed & {label.get_text() for label in a.get_ticklabels()}]
    was = [(axis, axis.get_major_formatter()) for axis in named]
    for axis, formatter in was:
        axis.set_major_formatter(partial(_tick, formatter, shown))
    return was


def _tick(formatter, shown, value, place):
    label = formatter(value, place)
    return shown.get(label, label)


def _foreign(figure):
    """Texts of a figure beyond what every font has."""
    from matplotlib.text import Text

    found = figure.findobj(Text)
    return [text for text in found if any(ord(letter) > 0xFF for letter in text.get_text())]


def _settable(labels):
    """Labels with letters by number where they have no form, short and still told apart."""
    shown = ["\n".join(_line(line) for line in label.split("\n")) for label in labels]
    flat = [k for k, label in enumerate(labels) if shown[k] != label and "\n" not in label]
    for k, label in zip(flat, short_names([shown[k] for k in flat], LONGEST), strict=True):
        first, pair, second = shown[k].partition(PAIR)
        shown[k] = f"{shorten(first)}{PAIR}{shorten(second)}" if pair else label
    return shown


def _line(line):
    return printable(line, fonts_for(line)[1])


def _family(path):
    """The name under which matplotlib knows a font file."""
    from matplotlib.font_manager import FontProperties, fontManager

    name = FontProperties(fname=str(path)).get_name()
    if all(known.fname != str(path) for known in fontManager.ttflist):
        fontManager.addfont(str(path))
    return name
