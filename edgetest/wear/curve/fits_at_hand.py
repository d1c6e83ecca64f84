"""A fit that was just made is not made again: several questions are asked of the same readings."""

import pickle
from collections import OrderedDict
from functools import wraps
from threading import Lock

MOST = 32  # fits at hand; a comparison with its checks asks for some ten
LARGEST_BYTES = 1_000_000  # of what is asked: larger studies are fitted anew, and not held


def fitted_once(function):
    """The function, which keeps its latest answers; what they hold is not to be changed.

    Two calls are the same where their arguments are, byte by byte as they are pickled; what cannot
    be pickled is worked out anew.

    Parameters
    ----------
    function : callable
        Pure: the same arguments give the same answer.

    Returns
    -------
    callable
    """
    answers: OrderedDict[bytes, object] = OrderedDict()
    lock = Lock()

    @wraps(function)
    def call(*args, **words):
        try:
            key = pickle.dumps((args, sorted(words.items())))
        except (pickle.PicklingError, AttributeError, TypeError):
            return function(*args, **words)
        if len(key) > LARGEST_BYTES:
            return function(*args, **words)
        with lock:
            if key in answers:
                answers.move_to_end(key)
                return answers[key]
        answer = function(*args, **words)
        with lock:
            answers[key] = answer
            while len(answers) > MOST:
                answers.popitem(last=False)
        return answer

    return call
