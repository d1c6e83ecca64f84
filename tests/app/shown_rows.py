"""The tables that a page shows, read back from what its reader gets."""

from html.parser import HTMLParser

import pandas as pd


class _Rows(HTMLParser):
    """The words of a table's cells, row by row."""

    def __init__(self):
        super().__init__()
        self.rows, self.inside = [], False

    def handle_starttag(self, tag, attrs):
        if tag == "tr":
            self.rows.append([])
        if tag in ("th", "td"):
            self.rows[-1].append("")
            self.inside = True

    def handle_endtag(self, tag):
        self.inside = self.inside and tag not in ("th", "td")

    def handle_data(self, data):
        if self.inside:
            self.rows[-1][-1] += data


def tables(run):
    """Every table of result rows on a page that ran, as text.

    Parameters
    ----------
    run : AppTest

    Returns
    -------
    list of DataFrame
    """
    found = []
    for element in run.get("html"):
        if element.proto.body.startswith('<div class="rows'):
            reader = _Rows()
            reader.feed(element.proto.body)
            heads, *rows = reader.rows
            found.append(pd.DataFrame(rows, columns=heads))
    return found


def labelled(kind, label):
    """The one widget of a kind, such as `at.number_input`, that has a label."""
    (found,) = (each for each in kind if each.label == label)
    return found
