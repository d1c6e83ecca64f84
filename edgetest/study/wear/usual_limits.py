"""At which reading is a blade usually called dull? Only where a published source says so.

References
----------
.. [1] "Which steel has the best edge retention? Part 2", 2018: an edge 10 µm wide is called dull.
.. [2] "How do they get these measurements?", a maker's forum: the force to sever a thread
   doubled over the test, from 210 to 415 g.
"""

USUAL = {
    "edge_width_um": "10 µm is called dull (“Which steel has the best edge retention? Part 2”, "
    "2018)",
    "sever_force_gf": "no number of gf is usual, for it hangs on the thread: take twice what "
    "your own fresh edges read (a doubled force is called dull: “How do they get these "
    "measurements?”, a maker's forum)",
}
NONE = (
    "no published source names a usual one: take what your control blade reads when you would "
    "sharpen it (common practice, no source)"
)


def usual_limit(reading):
    """What is usual as the limit of a reading, or how to choose one where nothing is.

    Parameters
    ----------
    reading : str
        A column of the log.

    Returns
    -------
    str
    """
    return USUAL.get(reading, NONE)
