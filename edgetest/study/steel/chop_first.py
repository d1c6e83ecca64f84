"""How is the chop written down that a blade which cut rope alone is asked for?"""

from shlex import quote

from edgetest.steel.steel_words import CHOP_FIRST
from edgetest.steel.tried_blades import EDGED
from edgetest.study.steel.fill_in import to_fill_in
from edgetest.study.steel.steel_result import SteelResult

CHOP = "First chop with it; then write down what it did, in place of the words in capitals:"


def chop_first_hint(result: SteelResult, folder) -> str:
    """The line of the chop that comes before the rest of the blades; "" where none is asked for.

    Parameters
    ----------
    result : SteelResult
    folder : path-like
    """
    reasons = getattr(result.asked.decision, "reasons", ())
    if not any(CHOP_FIRST in reason for reason in reasons):
        return ""
    piece = result.asked.piece
    own = [one for one in result.seen.trials if one.piece == piece and one.trial in EDGED]
    at = own[-1].heat if own else None
    here = "" if at is None else f" coupon={quote(at[0])} heat={at[1]}"
    return (
        f"{CHOP} edgetest enter {quote(str(folder))} --evidence trials piece={quote(str(piece))}"
        f"{here} test=chop {to_fill_in('strokes', 'result', 'edge', 'beside')}"
    )
