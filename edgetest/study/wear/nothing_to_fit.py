"""Why can no curve be fitted where no reading of a kind is left?"""

from collections import Counter

from edgetest.errors import UnusableInput
from edgetest.study.wear.photo_values import W30, gives


def nothing_to_fit(source, found):
    """What is wrong where no reading is left, and what would mend it.

    Parameters
    ----------
    source : Source
    found : StudyReadings

    Returns
    -------
    UnusableInput
    """
    reading = found.reading
    if source.study is not None and source.study.of_steel and not source.log.rows:
        mend = "ask `edgetest verdict` what is next; log a trial blade beside a known one later"
        return UnusableInput("a study of found steel with no blade cut yet", source.title, mend)
    if found.readings:
        what, mend = f"every reading of {reading} is excluded", "look at the column exclude"
    elif any(gives(photo, reading) for photo in found.photos):
        what = f"every photograph was refused{_commonest(found.photos)}"
        mend = "see `edgetest measure` for the reasons"
    elif found.photos:
        what, mend = _in_other_light(reading)
    else:
        what = f"holds no reading of {reading} yet"
        others = " or ".join(name for name in source.log.reading_names if name != reading)
        mend = "fill in its column, or name photographs in the column photo"
        mend += f"; or ask for the reading {others}" if others else ""
    return UnusableInput(what, source.log.name, mend)


def _commonest(photos):
    """The reason that most refused photographs share, as a person reads it."""
    told = Counter(
        photo.numbers["reasons"][0]["text"] for photo in photos if photo.numbers["reasons"]
    )
    return f", most often: {told.most_common(1)[0][0].rstrip('.')}" if told else ""


def _in_other_light(reading):
    """Why photographs give no reading of a kind, and what would."""
    if reading == W30:
        return (
            "light through the lens only brackets W30",
            "photograph the edges between two lamps with a needle in the same light, "
            "or ask for edge_width_um",
        )
    return (
        "photographs between two lamps show no bright line to read a width from",
        f"ask for the reading {W30}, or photograph the edges in light through the lens",
    )
