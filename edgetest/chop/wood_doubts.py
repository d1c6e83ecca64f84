"""What is not known of a wood that was named and not weighed?"""

from edgetest.chop.species import word_of_water
from edgetest.doubts import Where, doubt


def taken_name(name, row):
    """That a loose name was taken for one wood, and that another or a wet wood may be meant."""
    where = Where(value=name)
    if word := word_of_water(name):
        return doubt("wood_or_water", typed=name, wood=row.said, word=word, where=where)
    return doubt("wood_taken_as", typed=name, wood=row.said, where=where)


def known_by_name(row, water):
    """What is not known of a wood that was named and not weighed, and what would tell more.

    The weight of green wood tells of its water, not of its hardness.
    """
    where, green = Where(value=row.said), water.state == "green"
    if row.reckoned:
        then = "Write" if green else "Weigh the billet, or write"
        return (doubt("wood_reckoned", wood=row.said, then=then, where=where),)
    if row.region == "own":
        return ()
    then = "" if green else " Weigh and measure the billet."
    return (doubt("wood_by_name_only", then=then, where=where),)
