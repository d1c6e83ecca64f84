"""Who is cut when, under which roll, and by which name: balanced order and blinded codes."""

from dataclasses import dataclass

from edgetest.errors import UnusableInput
from edgetest.wear.plan.planned_runs import CONTROL
from edgetest.wear.plan.turns import counterbalanced

# No vowels (no words), nothing that is taken for another letter or a digit.
LETTERS = "BCDFGHJKMNPQRTVWXY"


@dataclass(frozen=True)
class Run:
    """One turn at the bench: the blade that is cut `turn`-th under its block."""

    block: str
    turn: int
    blade: str
    treatment: str  # "control" for the control blade

    def to_dict(self):
        """JSON-plain values."""
        return {
            "block": self.block,
            "turn": self.turn,
            "blade": self.blade,
            "treatment": self.treatment,
        }


def balanced_order(blades, blocks, rng, *, control=None, runs=1, begun=(), typed=None):
    """Share the blades out over blocks, balanced by heat treatment, in counterbalanced order.

    Parameters
    ----------
    blades : dict of str to str
        Blade to heat treatment.
    blocks : sequence of str
        Medium batches or days, in the order in which they come.
    rng : numpy.random.Generator
    control : str, optional
        Control blade; it runs in every block.
    runs : int
        Blocks in which each blade is cut.
    begun : sequence of (str, str, str)
        Block, blade and heat treatment of runs that stand already: they count in the balance.
    typed : dict of str to sequence of str, optional
        Blocks of blades that somebody has shared out; the lot draws their turns alone.

    Returns
    -------
    tuple of Run
        Every block holds as nearly as possible equal numbers of each heat treatment and of
        blades; which blade goes where is chance. Within blocks the heat treatments (and the
        control) are counterbalanced for position, see `edgetest.wear.plan.turns`.

    Raises
    ------
    UnusableInput
        No blade, no block, a block named twice, more blocks than runs, more runs of a blade
        than blocks, or a control blade that is among the blades.
    """
    blocks = [str(name) for name in blocks]
    _check(blades, blocks, control, runs, len(begun))
    members = _dealt(blades, blocks, rng, runs, begun, typed or {})
    if control is not None:
        members = {name: [*rows, (control, CONTROL)] for name, rows in members.items()}
    return tuple(_in_turn(members, rng))


def _dealt(blades, blocks, rng, runs, begun, typed):
    """Blade and heat treatment of the members of each block."""
    members: dict[str, list] = {name: [] for name in blocks}
    there = {name: [run[1:] for run in begun if run[0] == name] for name in blocks}
    treatments = list(dict.fromkeys(blades.values()))
    rng.shuffle(treatments)
    for treatment in treatments:
        own = [blade for blade, t in blades.items() if t == treatment]
        rng.shuffle(own)
        for blade in own:
            emptiest = _emptiest({k: [*there[k], *members[k]] for k in blocks}, treatment, rng)
            for name in typed.get(blade) or emptiest[:runs]:
                members[name].append((blade, treatment))
    return members


def _emptiest(members, treatment, rng):
    """Blocks, the emptiest of this heat treatment first, then the emptiest of all, then by lot."""
    held = {name: (_count(rows, treatment), len(rows)) for name, rows in members.items()}
    blocks = list(members)
    return sorted((blocks[i] for i in rng.permutation(len(blocks))), key=held.__getitem__)


def _count(rows, treatment):
    """Blades of one heat treatment in a block."""
    return sum(own == treatment for _, own in rows)


def _in_turn(members, rng):
    """The runs of every block in counterbalanced order; a heat treatment's blades by lot."""
    held = [[t for _, t in rows] for rows in members.values()]
    orders = counterbalanced(held, rng, apart=CONTROL)
    for (block, rows), order in zip(members.items(), orders, strict=True):
        waiting = [rows[i] for i in rng.permutation(len(rows))]
        for turn, treatment in enumerate(order, 1):
            place = next(i for i, (_, t) in enumerate(waiting) if t == treatment)
            yield Run(block, turn, *waiting.pop(place))


def _check(blades, blocks, control, runs, begun):
    """Refuse what no order can be drawn of."""
    if not blades:
        raise UnusableInput("no blade", "blades", "name blades and their heat treatments")
    where = "blocks (--blocks)"
    if not blocks:
        mend = "name rolls, boards or days, with commas between: roll 1,roll 2"
        raise UnusableInput("no block is named", where, mend)
    if len(set(blocks)) < len(blocks):
        twice = next(name for name in blocks if blocks.count(name) > 1)
        raise UnusableInput(f'a block is named twice: "{twice}"', where, "name each block once")
    if len(blocks) > len(blades) * runs + begun:
        what = f"{len(blocks)} blocks for {len(blades)} blades"
        raise UnusableInput(what, where, "use no more blocks than blades")
    if not 1 <= runs <= len(blocks):
        what = f"{runs} runs of each blade for {len(blocks)} block{'s' * (len(blocks) != 1)}"
        raise UnusableInput(what, "runs", "name a roll, board or day for each run")
    if control in blades:
        raise UnusableInput(f"{control} has a heat treatment", "control", "take it off the list")


def blind_codes(blades, rng, *, length=3):
    """Code for each blade that tells nothing: three consonants, none close to another.

    Parameters
    ----------
    blades : sequence of str
        Names, each once.
    rng : numpy.random.Generator
    length : int
        Letters in a code.

    Returns
    -------
    dict of str to str
        Blade to code, in an order that does not follow the blades'. Codes differ in two
        places at least, so one slip of the pen makes no other blade of it.
    """
    blades = [str(blade) for blade in blades]
    if len(set(blades)) < len(blades):
        raise UnusableInput("a blade is named twice", "blades", "give each blade one name")
    codes: list[str] = []
    for _ in range(10_000):
        if len(codes) == len(blades):
            break
        code = "".join(LETTERS[i] for i in rng.integers(len(LETTERS), size=length))
        if all(sum(a != b for a, b in zip(code, c, strict=True)) >= 2 for c in codes):
            codes.append(code)
    else:
        what = f"{len(blades)} blades and {length} letters"
        raise UnusableInput(what, "length", "use a longer code")
    order = rng.permutation(len(blades))
    return {blades[i]: code for i, code in zip(order, codes, strict=True)}
