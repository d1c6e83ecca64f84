"""Counts, and the names of readings, in words."""

from edgetest.store.protocol import unit_of

# Readings that the protocols call by other words than their column: one name on every page.
TITLED = {"sever_force_gf": "thread severing force"}


def counted(count, noun, several=None):
    """A number with its noun: "1 photograph", "3 photographs"."""
    return f"{count} {noun if count == 1 else several or f'{noun}s'}"


def were(count, noun):
    """What was left out or found, with its verb: "1 reading is", "3 readings are"."""
    return f"{counted(count, noun)} {'is' if count == 1 else 'are'}"


def listed(names):
    """Names in a row: "A1", "A1 and A2", "A1, A2 and A3"."""
    *before, last = [str(name) for name in names]
    return f"{', '.join(before)} and {last}" if before else last


def row_spans(lines):
    """Numbers of rows, those that follow each other by their ends: "12, 14 to 17"."""
    spans: list[list[int]] = []
    for line in sorted(lines):
        if spans and line == spans[-1][-1] + 1:
            spans[-1][1:] = [line]
        else:
            spans.append([line])
    return ", ".join(" to ".join(map(str, span)) for span in spans)


def percent(share):
    """A share in words, to two figures or to one per cent: "0.52 %", "12 %", "874 %"."""
    of_hundred = 100 * share
    return f"{of_hundred:.0f} %" if abs(of_hundred) >= 10 else f"{of_hundred:.2g} %"


def freedom_words(df):
    """Degrees of freedom in words: "1 degree of freedom", "4.2 degrees of freedom"."""
    told = f"{df:.3g}"
    return f"{told} {'degree' if told == '1' else 'degrees'} of freedom"


def name_of_reading(reading):
    """A reading's column in words, without its unit: "edge_width_um" is "edge width"."""
    if reading in TITLED:
        return TITLED[reading]
    words = reading.rpartition("_")[0] if unit_of(reading) else reading
    return (words or reading).replace("_", " ").replace("w30", "W30")
