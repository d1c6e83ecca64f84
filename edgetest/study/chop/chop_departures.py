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
    is_green,
    near_mm,
    own_and_added,
    pieces_of,
    severs,
    sides_mm,
    wanted_mm,
    wants_dry,
)
from edgetest.study.chop.chop_limit import rows_past_limit
from edgetest.study.chop.chop_rows import turn_taking
from edgetest.study.wear.departed_facts import ADDED, ProtocolDeparture, angles_departed
from edgetest.study.words import counted, listed

CHOPS_LOOKED_AT = (
    "pieces",
    "kind of piece",
    "wood",
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
CLOSING = {
    "inspection": "a look at the edge at the end",
    "shave": "shaving with the part that chopped",
}


def chop_departures(study, protocol, log, only=None) -> tuple[ProtocolDeparture, ...]:
    """Every difference between what the protocol asks and what chops.csv and facts say was done.

    Parameters
    ----------
    study : Study or None
    protocol : Protocol or None
    log : ChopLog
    only : str, optional
        One tool alone: nothing is told of another, but of the control.

    Returns
    -------
    tuple of ProtocolDeparture
        Empty where nothing departs, and where there is no protocol of chops to depart from.
    """
    if study is None or protocol is None or protocol.log != "chops":
        return ()
    done = [row for row in log.rows if not row.exclude and (not row.waiting or _photographed(row))]
    tools = _tools(done, study.control, only)
    if not tools:
        return ()
    every = _tools(done, None, only)  # the control's pieces stand beside the others'
    parted = {tool: own_and_added(protocol, rows) for tool, rows in every.items()}
    own = {tool: rows for tool, (rows, _) in parted.items()}
    found = (
        *_numbers_of(protocol, {tool: own[tool] for tool in tools}),
        *_kinds(protocol, own),
        *_sizes(protocol, own),
        *_woods(protocol, every, own),
        *_added(protocol, parted),
        *_boards(protocol, tools),
        *_control(study, protocol, done, tools),
        *_turns(protocol, log),
        *_misses(protocol, every),
        *_looks(protocol, every),
        *_past_limit(study, protocol, every),
        *_closing(protocol, tools),
        *_angles(study, protocol, set(tools), set(every)),
    )
    if only is None:
        return found
    return tuple(replace(each, done=each.done.removesuffix(f": {only}")) for each in found)


def _tools(done, control, only):
    """The rows of each tool, the control's left out; of one tool alone where it is named."""
    tools = defaultdict(list)
    for row in done:
        if row.blade != control and only in (None, row.blade):
            tools[row.blade].append(row)
    return tools


def _alike(of, asked, found, means):
    """Departures from what each tool did: those that did alike stand together."""
    alike = defaultdict(list)
    for tool, done in found:
        alike[done].append(tool)
    for done, those in alike.items():
        yield ProtocolDeparture(of, asked, f"{done}: {listed(those)}", means)


def _numbers_of(protocol, tools):
    """Pieces or measured chops too few; more are no departure, for the number is a least."""
    if severs(protocol):
        many = len(protocol.stages)
        asked = f"{counted(many, 'piece')} a blade at the least"
        did = {tool: len(rows) for tool, rows in tools.items()}
        fewer = [(t, f"{n} severed or tried") for t, n in did.items() if n < many]
        yield from _alike("pieces", asked, fewer, "How pieces scatter is known less well.")
    else:
        asked = f"the depth of chops {', '.join(map(str, protocol.stages))}"
        missing = []
        for tool, rows in tools.items():
            read = {row.order or n for n, row in enumerate(rows, 1)}
            left = [str(stage) for stage in protocol.stages if stage not in read]
            missing += [(tool, f"not of {', '.join(left)}")] if left else []
        yield from _alike("pieces", asked, missing, "Between them the curve of depths is drawn.")


def _kinds(protocol, tools):
    """Pieces of another kind than the protocol's: a 2x4 is no billet."""
    if not severs(protocol):
        return
    own = [kind for kind in protocol.chop_kinds if kind in SEVERED]
    found = []
    for tool, rows in tools.items():
        others = Counter(row.kind for row in rows if row.kind not in own)
        found += [(tool, f"{n} of kind {kind}") for kind, n in others.items()]
    yield from _alike("kind of piece", listed(own), found,
                      "Other pieces take other strokes than the protocol's: each wood and size has "
                      "figures of its own.")  # fmt: skip


def _sizes(protocol, tools):
    """Pieces of another section than asked; one of another kind departs as that, and not again."""
    wish = wanted_mm(protocol)
    if not wish or not severs(protocol):
        return
    found = []
    for tool, rows in tools.items():
        own = (row for row in rows if row.kind in protocol.chop_kinds)
        sizes = [sides for row in own if (sides := sides_mm(row))]
        other = Counter(s for s in sizes if not near_mm(s, wish))
        told = [f"{words} in {count}" for words, count in _sizes_told(other)]
        if told:
            found.append((tool, f"{listed(told)} of {counted(len(sizes), 'piece')}"))
    asked = f"pieces of {wish[0]:g} mm × {wish[1]:g} mm"
    yield from _alike("size", asked, found, "Another size takes another number of strokes.")


def _sizes_told(sizes):
    """Sizes in words with how many are of each; more than a few round ones by the range."""
    poles = sorted(size for size in sizes if len(size) == 1)
    if len(poles) > FEW_POLES:
        words = f"round, {poles[0][0]:.3g} mm to {poles[-1][0]:.3g} mm thick"
        yield words, sum(sizes[size] for size in poles)
    for size, count in sizes.items():
        if len(size) == 2 or len(poles) <= FEW_POLES:
            yield _size_words(size), count


def _size_words(size):
    """Two sides, or the thickness of a round piece."""
    words = " × ".join(f"{side:.3g} mm" for side in size)
    return words if len(size) == 2 else f"round, {words} thick"


def _added(protocol, parted):
    """Pieces of another kind, size or wood beside all those that the protocol asks for."""
    asked = f"{counted(len(protocol.stages), 'piece')} a blade"
    more = [(tool, added_words(rows)) for tool, (_, rows) in parted.items() if rows]
    yield from _alike(ADDED, asked, more, "They have figures of their own, and harm none.")


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


def _woods(protocol, tools, own):
    """Several species, knots, green wood; wood and moisture that nobody noted."""
    kind = protocol.medium.kind
    several, noted = [], defaultdict(list)
    for tool, rows in tools.items():
        species = dict.fromkeys(said_as(row.species) for row in own[tool] if row.species)
        several += [(tool, listed(species))] if len(species) > 1 else []
        every = pieces_of(protocol, rows)
        for words, (many, among) in _of_wood(own[tool], every, protocol).items():
            if many:
                noted[words].append((tool, f"{words} in {many} of {counted(len(among), 'row')}"))
    if "one species" in kind:
        yield from _alike("wood", "one species", several, "Strokes are told for each by itself.")
    unknown = "How hard the wood was is known less well."
    for words, asked, means in (
        ("knots", kind, "A knot takes strokes that clear wood does not."),
        ("green wood", kind, "Green wood is softer than dry."),
        ("wood not noted", "the species of each piece", unknown),
        ("moisture not noted", "the moisture of each piece", unknown),
    ):
        yield from _alike("wood", asked, noted[words], means)


def _of_wood(own, every, protocol):
    """In how many rows, and among which, the wood is not as asked, by what is wrong with it."""
    kind = protocol.medium.kind
    clear = "no knots" in kind or "without knots" in kind
    green = sum(is_green(row.moisture_pct) for row in own)
    return {
        "knots": (clear * sum(bool(row.knots) for row in own), own),
        "green wood": (wants_dry(protocol) * green, own),
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
    yield from _alike("boards", wish, found, means)


def _control(study, protocol, done, tools):
    """The control: not named, never chopped with, or not on some board of these tools."""
    asked = "a control blade, chopped with in every round"
    control = study.control or study.reference
    seen = "What arm, board and day did to every tool alike is not seen."
    if control is None:
        yield ProtocolDeparture("control blade", asked, "none was named", seen)
        return
    own = {row.board_or_block for row in pieces_of(protocol, done) if row.blade == control}
    if not own:
        never = f"{control} was named and never chopped with"
        yield ProtocolDeparture("control blade", asked, never, seen)
        return
    met = {r.board_or_block for rows in tools.values() for r in pieces_of(protocol, rows)} - {""}
    if met - own:
        yield ProtocolDeparture(
            "control blade", asked, f"{control} was not used on {listed(sorted(met - own))}",
            "Strokes on those boards have nothing beside them.",
        )  # fmt: skip


def _turns(protocol, log):
    """Tools that chopped one after the other."""
    if severs(protocol) and turn_taking(log) == "not_in_turn":
        yield ProtocolDeparture(
            "turns", "all blades in turn, piece by piece", "blades one after the other",
            "A tired arm or a drier board cannot be told from the tool.",
        )  # fmt: skip


def _misses(protocol, tools):
    """Pieces of which nobody noted the strokes that missed."""
    found = []
    for tool, rows in tools.items() if severs(protocol) else ():
        rows = pieces_of(protocol, rows)
        blank = sum(row.near_misses is None for row in rows)
        words = f"not noted for {blank} of {counted(len(rows), 'piece')}"
        found += [(tool, words)] if blank else []
    means = "How many of the strokes missed the cut is not known."
    yield from _alike("near misses", "strokes that miss the kerf noted", found, means)


def _looks(protocol, tools):
    """Pieces of any kind after which nobody looked along the edge before the next one."""
    found = []
    for tool, rows in tools.items() if severs(protocol) else ():
        unseen = _unseen(rows)
        words = f"not after {sum(unseen)} of {counted(len(unseen), 'piece')}"
        found += [(tool, words)] if any(unseen) else []
    means = "When a chip or a roll came is known less well."
    yield from _alike("looks at the edge", "a look after each piece", found, means)


def _unseen(rows):
    """Of each piece of one tool, whether no look followed; a look is of the last one before it."""
    unseen = []
    for row in rows:
        if row.kind in SEVERED:
            unseen.append(not _looked(row))
        elif unseen and _looked(row):
            unseen[-1] = False
    return unseen


def _past_limit(study, protocol, tools):
    """Tools that chopped on after a look had found the protocol's limit reached."""
    rule = protocol.limit
    if rule is None or rule.reading not in ("chips_count", "largest_chip_mm"):
        return
    limit = float(study.limit_value or rule.value)
    what = "piece" if severs(protocol) else "chop"
    past = {t: rows_past_limit(rows, rule.reading, limit) for t, rows in tools.items()}
    later = {t: len(pieces_of(protocol, rows)) for t, rows in past.items()}
    found = [(t, f"{counted(n, what)} chopped after it was reached") for t, n in later.items() if n]
    chips = f"new {'chip' if limit == 1 else 'chips'}"
    unit = chips if rule.reading == "chips_count" else "mm, the largest chip"
    yield from _alike("limit", f"an end at {limit:g} {unit}", found,
                      "Later strokes are those of an edge that had failed by it.")  # fmt: skip


def _photographed(row):
    """Whether the row is a look at the edge by photograph alone, with no count beside it."""
    return row.kind == "inspection" and bool(row.photo)


def _looked(row):
    return row.chips_count is not None or row.rolls_count is not None or bool(row.photo)


def _closing(protocol, tools):
    """Tests at the end that were not made."""
    for kind in protocol.closing:
        words = CLOSING.get(kind, kind)
        missing = [(t, "not done") for t, rows in tools.items() if not _closed(rows, kind)]
        yield from _alike("closing tests", words, missing, f"Nothing is said of {words}.")


def _closed(rows, kind):
    """Whether a test was made after the last piece or chop."""
    chopped = [n for n, row in enumerate(rows) if row.kind in (*SEVERED, "single")]
    last = max(chopped, default=-1)
    after = rows[last:] if kind == "inspection" and last >= 0 else rows[last + 1 :]
    if kind == "inspection":
        return any(_looked(row) for row in after)
    return any(row.kind == kind for row in after)
