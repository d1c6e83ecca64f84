"""Where was a chop test done otherwise than its protocol asks, and what follows from that?

The protocol is a wish; what was done stands in the rows of chops.csv and the typed facts.
"""

import re
from collections import Counter, defaultdict
from dataclasses import replace

from edgetest.chop.species import said_as
from edgetest.store.chop_log import SEVERED
from edgetest.study.chop.added_pieces import (
    added_words,
    own_and_added,
    pieces_of,
    severs,
)
from edgetest.study.chop.asked_pieces import asked_pieces, is_green, sides_mm
from edgetest.study.chop.looks_departed import (
    asks_looks,
    closing_departed,
    departed_alike,
    looks_departed,
    past_limit,
    photographed,
)
from edgetest.study.chop.piece_woods import kind_of_wood, own_woods
from edgetest.study.chop.turns_taken import turns_words
from edgetest.study.wear.departed_facts import ADDED, UNREAD, ProtocolDeparture, angles_departed
from edgetest.study.words import counted, listed

LOOKED_AT_BEHIND = (
    "boards",
    "control blade",
    "turns",
    "near misses",
    "looks",
    "limit",
    "closing tests",
    "edge angle",
)
FEW_POLES = 2  # thicknesses of round pieces that are told one by one


def chops_looked_at(study, protocol):
    """What was held against a protocol of chops: of wood and size what it says understandably.

    Parameters
    ----------
    study : Study
    protocol : Protocol

    Returns
    -------
    tuple of str
    """
    asked = asked_pieces(protocol, own_woods(study))
    size = ("size",) if severs(protocol) and asked.size_words else ()
    unasked = {"near misses": not _asks_misses(protocol), "looks": not asks_looks(protocol)}
    behind = (each for each in LOOKED_AT_BEHIND if not unasked.get(each))
    wood = "wood" if asked.of_wood else "wood and moisture noted"
    return ("pieces", "kind of piece", *size, wood, *behind)


def chop_departures(study, protocol, log, only=()) -> tuple[ProtocolDeparture, ...]:
    """Every difference between what the protocol asks and what chops.csv and facts say was done.

    Parameters
    ----------
    study : Study or None
    protocol : Protocol or None
    log : ChopLog
    only : sequence of str
        Of one tool's sheet, the tool and then those beside it: what they did is told too, for
        their strokes stand beside this tool's. Default: of all tools.

    Returns
    -------
    tuple of ProtocolDeparture
        Empty where nothing departs, and where there is no protocol of chops to depart from.
    """
    if study is None or protocol is None or protocol.log != "chops":
        return ()
    tools, every = _tools(study, log, only)
    closed, seen = _tools(study, log, only, left_out=True)
    if not tools:
        return ()
    asked, woods = asked_pieces(protocol, own_woods(study)), own_woods(study)
    parted = {tool: own_and_added(protocol, rows, asked) for tool, rows in every.items()}
    own = {tool: rows for tool, (rows, _) in parted.items()}
    found = (
        *_numbers_of(protocol, {tool: own[tool] for tool in tools}),
        *_kinds(protocol, own),
        *_sizes(protocol, own, asked),
        *_woods(protocol, every, own, asked, woods),
        *_added(protocol, parted, asked),
        *_boards(protocol, tools),
        *_control(study, protocol, log, tools),
        *_turns(protocol, log),
        *_misses(protocol, every),
        *looks_departed(protocol, seen),
        *past_limit(study, protocol, seen),
        *closing_departed(protocol, closed),
        *_angles(study, protocol, set(tools), set(every)),
        *_unread(protocol, asked),
    )
    if not only:
        return found
    return tuple(replace(each, done=each.done.removesuffix(f": {only[0]}")) for each in found)


def _tools(study, log, only, *, left_out=False):
    """Rows of each tool that is tested, and of these with the control's, that stand beside them.

    With `left_out` the pieces whose strokes are left out are among them: they were chopped.
    """
    rows = defaultdict(list)
    for row in log.rows:
        counts = row.look_counts if left_out else not row.exclude
        if counts and (not row.waiting or photographed(row)):
            rows[row.blade].append(row)
    tested = only[:1] or [name for name in rows if name != study.control]
    every = only or rows
    return tuple(
        {name: own for name, own in rows.items() if name in names} for names in (tested, every)
    )


def _numbers_of(protocol, tools):
    """Pieces or measured chops too few; more are no departure, for the number is a least."""
    if severs(protocol):
        many = len(protocol.stages)
        asked = f"{counted(many, 'piece')} a blade at the least"
        did = {tool: len(rows) for tool, rows in tools.items()}
        fewer = [(t, f"{n} severed or tried") for t, n in did.items() if n < many]
        yield from departed_alike("pieces", asked, fewer, "How pieces scatter is known less well.")
    else:
        asked = f"the depth of chops {', '.join(map(str, protocol.stages))}"
        missing = []
        for tool, rows in tools.items():
            read = {row.order or n for n, row in enumerate(rows, 1)}
            left = [str(stage) for stage in protocol.stages if stage not in read]
            missing += [(tool, f"not of {', '.join(left)}")] if left else []
        yield from departed_alike(
            "pieces", asked, missing, "Between them the curve of depths is drawn."
        )


def _kinds(protocol, tools):
    """Pieces of another kind than the protocol's: a 2x4 is no billet."""
    if not severs(protocol):
        return
    own = [kind for kind in protocol.chop_kinds if kind in SEVERED]
    found = []
    for tool, rows in tools.items():
        others = Counter(row.kind for row in rows if row.kind not in own)
        found += [(tool, f"{n} of kind {kind}") for kind, n in others.items()]
    yield from departed_alike("kind of piece", listed(own), found,
                      "Other pieces take other strokes than the protocol's: each wood and size has "
                      "figures of its own.")  # fmt: skip


def _sizes(protocol, tools, asked):
    """Pieces of another section than asked; one of another kind departs as that, and not again."""
    if not asked.size_words or not severs(protocol):
        return
    found = []
    for tool, rows in tools.items():
        sizes = [at for row in rows if row.kind in protocol.chop_kinds and (at := sides_mm(row))]
        other = Counter(size for size in sizes if not asked.sized(size))
        told = [f"{words} in {count}" for words, count in _sizes_told(other)]
        if told:
            found.append((tool, f"{listed(told)} of {counted(len(sizes), 'piece')}"))
    means = "Another size takes another number of strokes."
    yield from departed_alike("size", asked.size_words, found, means)


def _unread(protocol, asked):
    """Words of the protocol that are not understood: nothing was held against them."""
    size = asked.size_unread if severs(protocol) else ()  # single chops are held against none
    for key, words in (("kind", asked.kind_unread), ("size", size)):
        if words:
            yield ProtocolDeparture(
                UNREAD, f"{listed([f'“{one}”' for one in words])} ({key} of its pieces)",
                "not understood, so no piece was held against it",
                "Whether the pieces were so is not known.",
            )  # fmt: skip


def _sizes_told(sizes):
    """Sizes in words with how many are of each; more than a few round ones by the range."""
    poles = sorted(size for size in sizes if len(size) == 1)
    if len(poles) > FEW_POLES:
        words = f"round, {poles[0][0]:.3g} mm to {poles[-1][0]:.3g} mm thick"
        yield words, sum(sizes[size] for size in poles)
    each = (one for one in sizes.elements() if len(one) == 2 or len(poles) <= FEW_POLES)
    yield from Counter(map(_size_words, each)).items()  # one size where two read alike


def _size_words(size):
    """Two sides, or the thickness of a round piece."""
    words = " × ".join(f"{side:.3g} mm" for side in size)
    return words if len(size) == 2 else f"round, {words} thick"


def _added(protocol, parted, asked):
    """Pieces of another kind, size or wood beside all those that the protocol asks for."""
    due = f"{counted(len(protocol.stages), 'piece')} a blade"
    more = [(tool, added_words(rows, asked)) for tool, (_, rows) in parted.items() if rows]
    yield from departed_alike(ADDED, due, more, "They have figures of their own, and harm none.")


def _angles(study, protocol, ran, every):
    """Edge angles that differ from the one asked; where none is, those of `every` not noted."""
    if protocol.edge_preparation.included_angle_deg is not None:
        means = "A wider or narrower wedge bites otherwise; strokes at other angles differ."
        yield from angles_departed(study, protocol, ran, means)
        return
    unknown = [b.id for b in study.blades if b.id in every and b.included_angle_deg is None]
    if unknown:
        yield ProtocolDeparture(
            "edge angle", "the angle of each edge, as the maker would sell it",
            f"not noted: {listed(unknown)}", "How wide a wedge took these strokes is not known.",
        )  # fmt: skip


def _woods(protocol, tools, own, asked, woods):
    """Several species, others than asked, knots, water; wood and moisture that nobody noted."""
    kind = protocol.medium.kind
    several, noted = [], defaultdict(list)
    for tool, rows in tools.items():
        species = dict.fromkeys(said_as(row.species) for row in own[tool] if row.species)
        several += [(tool, listed(species))] if len(species) > 1 else []
        every = pieces_of(protocol, rows)
        for words, (many, among) in _of_wood(own[tool], every, asked, woods).items():
            if many:
                noted[words].append((tool, f"{words} in {many} of {counted(len(among), 'row')}"))
    if asked.one_species:
        yield from departed_alike(
            "wood", "one species", several, "Strokes are told for each by itself."
        )
    unknown = "How hard the wood was is known less well."
    told = {
        "knots": (kind, "A knot takes strokes that clear wood does not."),
        "green wood": (kind, "Green wood is softer than dry."),
        "dry wood": (kind, "Dry wood is harder than green."),
        "hardwood": (kind, "Hardwood takes other strokes than softwood."),
        "softwood": (kind, "Softwood takes other strokes than hardwood."),
        "wood not noted": ("the species of each piece", unknown),
        "moisture not noted": ("the moisture of each piece", unknown),
    }
    other = (kind, "Each wood takes strokes of its own.")
    for words in (*[each for each in noted if each not in told], *told):
        yield from departed_alike("wood", told.get(words, other)[0], noted[words],
                                  told.get(words, other)[1])  # fmt: skip


def _of_wood(own, every, asked, woods):
    """In how many rows, and among which, the wood is not as asked, by what is wrong with it."""
    wet = [is_green(row.moisture_pct) for row in own if not asked.watered(row.moisture_pct)]
    others = Counter(kind_of_wood(row.species, woods) for row in own if len(asked.kinds) == 1)
    unasked = Counter(said_as(row.species) for row in own if not asked.of_species(row.species))
    return {
        **{name: (many, own) for name, many in unasked.items()},
        **{
            other: (others[other], own)
            for other in ("hardwood", "softwood")
            if other not in asked.kinds
        },
        "knots": (asked.clear * sum(bool(row.knots) for row in own), own),
        "green wood": (sum(wet), own),
        "dry wood": (len(wet) - sum(wet), own),
        "wood not noted": (sum(not row.species for row in every), every),
        "moisture not noted": (sum(row.moisture_pct is None for row in every), every),
    }


def _boards(protocol, tools):
    """Pieces of which nobody noted the board."""
    found = []
    for tool, rows in tools.items():
        rows = pieces_of(protocol, rows)
        blank = sum(not row.board_or_block for row in rows)
        found += [(tool, f"not noted in {blank} of {counted(len(rows), 'row')}")] if blank else []
    wish = re.split(r"[:;.]", protocol.medium.batch)[0]
    means = "What a board did cannot be told from what the tool did."
    yield from departed_alike("boards", wish, found, means)


def _control(study, protocol, log, tools):
    """The control: not named, never chopped with, or with no piece of a board of these tools."""
    asked = "a control blade, chopped with in every round"
    control = study.control or study.reference
    seen = "What arm, board and day did to every tool alike is not seen."
    if control is None:
        yield ProtocolDeparture("control blade", asked, "none was named", seen)
        return
    mine = [r for r in pieces_of(protocol, log.rows) if r.blade == control and not r.waiting]
    if not mine:
        never = f"{control} was named and never chopped with"
        yield ProtocolDeparture("control blade", asked, never, seen)
        return
    yield from _boards_alone(control, asked, mine, tools, protocol)


def _boards_alone(control, asked, mine, tools, protocol):
    """The boards of these tools on which no piece of the control counts."""
    own = {row.board_or_block for row in mine if not row.exclude}
    met = {r.board_or_block for rows in tools.values() for r in pieces_of(protocol, rows)}
    missed = met - own - {""}
    left = missed & {row.board_or_block for row in mine if row.exclude}
    unused = missed - left
    told = [f"{control} was not used on {listed(sorted(unused))}"] if unused else []
    told += [f"what {control} did on {listed(sorted(left))} is left out"] if left else []
    there = "that board" if len(missed) == 1 else "those boards"
    if told:
        means = f"Strokes on {there} have nothing beside them."
        yield ProtocolDeparture("control blade", asked, "; ".join(told), means)


def _turns(protocol, log):
    """Tools that chopped one after the other, or the boards on which they did not take turns."""
    told = turns_words(log) if severs(protocol) else ""
    if told:
        yield ProtocolDeparture(
            "turns", "all blades in turn, piece by piece", f"blades {told}",
            "A tired arm or a drier board cannot be told from the tool.",
        )  # fmt: skip


def _asks_misses(protocol):
    """Whether a protocol says in its own words that strokes which miss are noted."""
    return severs(protocol) and "miss" in protocol.cut.how.casefold()


def _misses(protocol, tools):
    """Pieces of which nobody noted the strokes that missed."""
    asked, found = "strokes that miss the kerf noted", defaultdict(list)
    for tool, rows in tools.items() if _asks_misses(protocol) else ():
        rows = pieces_of(protocol, rows)
        blank = sum(row.near_misses is None for row in rows)
        words = f"not noted for {blank} of {counted(len(rows), 'piece')}"
        if blank:
            found[blank < len(rows)].append((tool, words))
    means = "How many of the strokes missed the cut is not known."
    yield from departed_alike("near misses", asked, found[False], means)
    means = "Their share is that of the pieces where they were noted."
    yield from departed_alike("near misses", asked, found[True], means)
