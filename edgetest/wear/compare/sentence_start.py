"""With which letter does a sentence begin that may begin with a name?"""

import re


def with_capital(sentence, groups):
    """The sentence with a capital letter, unless it begins with an id: "b" and "B" are two blades.

    Parameters
    ----------
    sentence : str
    groups : sequence of Group
        A heat treatment's name of one or two letters is an id too; a longer one is a word.
    """
    ids = {blade for group in groups for blade in group.blades}
    ids |= {group.treatment for group in groups if len(group.treatment) <= 2}
    if any(re.match(rf"{re.escape(name)}(?!\w)", sentence) for name in ids):
        return sentence
    return sentence[:1].upper() + sentence[1:]
