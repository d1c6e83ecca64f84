"""Which lots disagree, as a page tells it that judges several pieces?"""


def lots_apart(verdicts, said=""):
    """That the pieces of a lot disagree, a sentence for each lot of which it is not told yet.

    Parameters
    ----------
    verdicts : iterable of PieceVerdict
        Of all pieces on the page.
    said : str
        What the page tells of the piece asked about.

    Returns
    -------
    list of str
    """
    found: dict[str, str] = {}
    for one in verdicts:
        lot = one.decision.apart.partition(" disagree: ")[0]
        if lot and f"{lot} disagree: " not in said:
            found.setdefault(lot, one.decision.apart)
    return [*found.values()]
