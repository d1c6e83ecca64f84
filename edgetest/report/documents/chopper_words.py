"""What a chop test says of one tool, in sentences and in rows of figures."""

from dataclasses import replace
from math import floor, inf

from edgetest.chop.chop_report import TRIALS
from edgetest.doubts import GRAVITIES, joined
from edgetest.report.documents.advice import without_advice
from edgetest.report.documents.chopped_pieces import (
    cross_section_words,
    of_like_sizes,
    strokes_words,
    wood_words,
)
from edgetest.report.documents.chopped_wood import SAID_OF_WOOD
from edgetest.report.documents.chopper_damage import comparison_edge_sentences, edge_sentences
from edgetest.report.documents.chopper_dulling import dulling_sentences
from edgetest.report.documents.chopper_numbers import depth_line, three
from edgetest.report.documents.chopper_ratio import (
    against_words,
    beside_sentence,
    depth_beside_sentence,
    odd_depths_words,
    ratios_of,
)
from edgetest.report.documents.one_board_told import one_board_lines
from edgetest.report.documents.reckoned_words import reckoned_sentences
from edgetest.report.documents.rows_told import left_out_lines, mishap_lines
from edgetest.report.documents.tools_beside import beside, tool_title
from edgetest.report.doubt_lines import doubt_lines
from edgetest.report.wording import in_units, interval_words
from edgetest.study.chop.asked_of_pieces import unnoted_trials
from edgetest.study.chop.chop_result import ASKED
from edgetest.study.chop.headline_wood import main_figure
from edgetest.study.chop.looks_doubted import MAY_HIDE
from edgetest.study.chop.mean_with_knots import knots_sentence
from edgetest.study.chop.touched_off import touched_up_after
from edgetest.study.words import counted, listed

SAID_ELSEWHERE = {
    # for the maker alone
    "edge_length_missing", "wish_not_reckoned", "side_view_refused", "side_view_missing",
    "no_grip", "few_depths_in_all", "no_slender_blade",
    # said in other words, or only of how an interval was made
    *ASKED, "invented", "excluded_rows", "knot_told", "mishap_kept", "mishap_counts",
    "alone_on_board", "trial_may_have_made", "trial_without_result", "look_kept",
    "damage_from_both", "zero_seen", "assumed_swing", "one_board", "taken_from_board",
    "underdispersed",
    "overdispersed", "blades_differ_in_damage", "dulling_seen", "near_misses_not_counted",
    # of the figures in a reference wood, which the sheet does not give
    "wood_far_from_reference", "hardness_exponent_assumed", "not_proportional_to_area",
    "wood_by_name_only", "green_hardness_assumed", "wood_reckoned",
}  # fmt: skip

MOST_DOUBTS = 2  # on the first page, unless more decide


def tool_sentences(result, blade, units="metric"):
    """What a customer is told first: strokes, against what, the edge, the trials."""
    main = main_figure(result, blade)
    said = []
    if main is not None:
        said += _count_sentences(result, blade, main, units)
    elif depth := depth_line(result, blade):
        said.append(_depth_sentence(result, depth, units))
        said += filter(None, [depth_beside_sentence(result, blade)])
    said += edge_sentences(result, blade, units)
    tool = result.tool(blade)
    if not said and tool is not None and not tool.balance.percussion_off:
        one = tool.balance.percussion_mm
        value, interval = interval_words(*three(one))
        words = f"It strikes without kick at {value} mm from the butt ({interval})."
        if tool.balance.percussion_at_tip:
            words = f"Its percussion centre lies {value} mm from the butt ({interval}),"
            words += f" {tool.balance.at_tip_words()}."
        said.append(in_units(words, units))
    said = said or ["It has not been chopped with."]
    if main is None and (failed := _failed_words(result, blade)):
        said.insert(1, failed)
    return _named_once([*said, *comparison_edge_sentences(result, blade, units)], result, blade)


def _named_once(said, result, blade):
    """The sentences with each tool's title where it is first named, and its id alone from there."""
    titles = {name: title for name in beside(result, blade)
              if (title := tool_title(result, name)).startswith(f"{name} (")}  # fmt: skip
    named: set[str] = set()
    told = []
    for one in said:
        for name, title in titles.items():
            first, *rest = one.split(title)
            known = name in named
            one = first + "".join(
                (name if known or n else title) + part for n, part in enumerate(rest)
            )
            named |= {name} if rest else set()
        told.append(one)
    return told


def _depth_sentence(result, depth, units):
    value, interval = interval_words(*three(depth.fresh_mm))
    odd = odd_depths_words(result, depth.name)
    return in_units(f"One chop with the fresh edge goes {value} mm deep ({interval}){odd}.", units)


def _count_sentences(result, blade, main, units):
    """Strokes for the piece chopped most, plainly, then with its interval; against whom."""
    value, interval = strokes_words(main)
    one = main.strokes_per_piece
    piece = f"{_article(wood_words(result, main))}, {cross_section_words(result, main, units)}"
    if one.high == inf:
        yield _none_severed(main, piece)
    else:
        about = value.removesuffix(".0")
        stood = f" ({main.standing} of {main.pieces} not severed)" if main.standing else ""
        kinds = sum(each.blade == blade for each in result.as_chopped)
        against = against_words(result, blade, main, alone=kinds == 1)
        sever = "stroke severs" if about == "1" else "strokes sever"
        yield f"About {about} {sever} a piece of {piece}{stood}{against}."
        spread = _interval_words(result, main, value, interval) if interval else ""
        hardest = _hardest_words(result, blade, main, units)
        like = of_like_sizes(result, blade, main, units)
        knots = knots_sentence(result.pieces, main)
        yield from filter(None, [" ".join(filter(None, [spread, knots, like, hardest]))])
    mine = [piece for piece in result.pieces if piece.blade == blade]
    yield " ".join(filter(None, [_counted(result, mine), _failed_words(result, blade)]))
    yield from reckoned_sentences(result, blade, units)
    yield from _touched_up(result, blade)
    for ratio in ratios_of(result, blade):
        if told := beside_sentence(result, blade, ratio):
            yield told
    yield from dulling_sentences(result, blade)


def _none_severed(main, piece):
    """Strokes that severed no piece, and the bound that they leave of the mean."""
    counts = [round(float(str(count).removeprefix(">"))) for count in main.strokes]
    bound = f"{floor(main.strokes_per_piece.low)} strokes on average"
    if main.pieces == 1:
        made = counted(counts[0], "stroke")
        return f"{made} did not sever a piece of {piece}; pieces differ, such take over {bound}."
    least = f"such a piece takes over {bound}"
    if len(set(counts)) == 1:
        each = f"{counted(counts[0], 'stroke')} each"
        every = "Both" if main.pieces == 2 else f"All {main.pieces}"
        return f"{every} pieces of {piece} still stood after {each}: {least}."
    return f"{listed(counts)} strokes did not sever {main.pieces} pieces of {piece}: {least}."


def _interval_words(result, main, value, interval):
    """The mean with its interval, and what it rests on."""
    level = f"{100 * result.report.level:g} % interval"
    stood = f", {main.standing} of them not severed" if main.standing else ""
    pieces = counted(main.pieces, "piece")
    on = _boards_words(result, main)
    return f"Mean {value} strokes ({interval}), {level}; {pieces}{stood}{on}."


def _boards_words(result, main):
    """Of how many boards the pieces of a figure were, or that nobody noted it of some or all."""
    boards = [piece.board for piece in result.pieces if piece.row in main.rows]
    if "" not in boards:
        return f", {counted(main.boards, 'board')}" if main.boards else ""
    some = sum(map(bool, boards))
    return f", board noted for {some} of them" if some else ", board not noted"


def _hardest_words(result, blade, main, units):
    """The piece that took most strokes, where it is of another kind than the headline's."""
    mine = [piece for piece in result.pieces if piece.blade == blade]
    most = max(mine, key=lambda piece: (piece.chops, not piece.severed))
    kind = next(
        (one for one in result.as_chopped if most.row in one.rows and one is not main), None
    )
    words = ""
    if kind is not None and most.chops > max(p.chops for p in mine if p.row in main.rows):
        made = counted(round(most.chops), "stroke")
        stood = "" if most.severed else ", and it still stood"
        fell = " that fell" if most.severed and not all(piece.severed for piece in mine) else ""
        own = replace(kind, rows=(most.row,), section=most.section)  # its sides, not their mean
        piece = f"{wood_words(result, own)}, {cross_section_words(result, own, units)}"
        words = f"Hardest piece of this tool{fell}: {made}{stood}; {piece}."
    return words


def _failed_words(result, blade):
    """Trials that a tool did not pass, as briefly as they stand in the box."""
    failed = [
        f"{one.title}" + (f" ({failures} of {one.trial.tried})" if one.trial.tried > 1 else "")
        for one in result.report.trials
        if one.trial.blade == blade and (failures := one.trial.tried - one.trial.passed)
    ]
    return f"It failed in trial: {listed(failed)}." if failed else ""


def _article(wood):
    """A wood in a sentence; what is not noted is said so."""
    return f"wood ({wood})" if wood.startswith("wood not noted") else wood


def _counted(result, mine):
    """Strokes, pieces, woods and near misses of a tool, as logged."""
    fallen = [piece for piece in mine if piece.severed]
    woods = dict.fromkeys(piece.wood.name for piece in mine if piece.wood)
    of = f" of {' and '.join(woods)}" if woods and len(woods) < 3 else ""
    made = round(sum(piece.chops for piece in fallen))
    words = f"Counted: {counted(made, 'stroke')} through {counted(len(fallen), 'piece')}{of}"
    words = words if fallen else "Counted: no piece was severed"
    single = " A single piece: how far pieces differ is assumed." if len(mine) == 1 else ""
    return f"{words}{_still_standing(mine)}{_near_misses(mine)}.{single}"


def _still_standing(mine):
    """Pieces that still stood, with the strokes they had taken."""
    left = [piece.chops for piece in mine if not piece.severed]
    if not left:
        return ""
    noun = "more piece" if len(left) < len(mine) else "piece"
    made = counted(round(sum(left)), "stroke")
    return f"; {counted(len(left), noun)} still stood after {made} in all"


def _near_misses(mine):
    """Strokes that missed the cut, and on how many pieces they were counted."""
    missed = [piece.near_misses for piece in mine if piece.near_misses is not None]
    if not missed:
        return ""
    among = "among these strokes"
    if len(missed) < len(mine):
        among = f"where they were counted, on {len(missed)} of {counted(len(mine), 'piece')}"
    return f"; {counted(sum(missed) or 'no', 'near miss', 'near misses')} {among}"


def _touched_up(result, blade):
    """When the edge was touched up, as logged."""
    if told := touched_up_after(result.log.rows, blade):
        yield f"Its {told}."


def trial_rows(result, blade):
    """Trials of a tool and how they ended, as (what, how)."""
    trials, others = result.report.trials, beside(result, blade)[1:]
    rows = []
    for one in (each for each in trials if each.trial.blade == blade):
        like = [two for two in trials if two.title == one.title and two.trial.blade in others]
        theirs = "".join(f"; {two.trial.blade} {_trial_words(two)}" for two in like)
        if one.trial.test in NO_RULE and not any(each.trial.note for each in (one, *like)):
            theirs += f"; {JUDGED}"
        rows.append((one.title[:1].upper() + one.title[1:], f"{_trial_words(one)}{theirs}"))
    for row in (each for each in unnoted_trials(result.log.rows) if each.blade == blade):
        title = TRIALS[row.kind]
        told = "; ".join(filter(None, ("tried, the result not noted", row.note)))
        rows.append((title[:1].upper() + title[1:], told))
    return rows


def tool_doubts(result, blade, gravities=GRAVITIES):
    """Doubts that a customer should know, and the tool's rows left out with their reasons.

    What stands elsewhere on the sheet, or only touches how an interval was made, is not
    said again.
    """
    graves = [one for one in result.doubts if one.gravity in gravities]
    shown = {code: beside(result, blade) for code in (*MAY_HIDE, "damage_fell")}
    own = [one for one in graves if one.where.blade in (None, *shown.get(one.code, [blade]))]
    lines = [*_asked(result, blade, graves), *doubt_lines(own, said=SAID_ELSEWHERE)]
    lines += _given_up_beside(result, blade, graves)
    if "limits" not in gravities:
        return lines
    rows = [*left_out_lines(result, blade), *mishap_lines(result, blade, beside(result, blade)[1:])]
    return [*lines, *one_board_lines(result, blade), *rows]


def first_doubts(result, blade):
    """Doubts for the first page, and those for the second; what decides comes first.

    The sheet is the customer's: what the maker can do about a doubt is told by `edgetest chop`
    and on the page, not here. What the row of the wood says on the first page is not said again.
    """
    decide = tool_doubts(result, blade, gravities=("decides",))
    others = tool_doubts(result, blade, gravities=("limits",))
    of_wood = doubt_lines(one for one in result.doubts if one.code in SAID_OF_WOOD)
    asked = list(_asked(result, blade, [one for one in result.doubts if one.gravity == "limits"]))
    decide = decide + asked  # the figures of page one rest on these, however many there are
    others = [line for line in others if line not in asked]
    room = max(0, MOST_DOUBTS - len(decide))
    notes = tool_doubts(result, blade, gravities=("notes",))
    first = decide + [line for line in others if line not in of_wood][:room]
    first += mishap_lines(result, blade, [blade])  # such as a loose handle: the customer's matter
    later = [line for line in others if line not in first] + notes
    return tuple([without_advice(line) for line in lines] for lines in (first, later))


def _asked(result, blade, doubts):
    """Sizes and strokes that can hardly be meant, also of the tools beside, by their row."""
    for tool in beside(result, blade):
        for one in joined(one for one in doubts if one.code in ASKED and one.where.blade == tool):
            if one.where.row is None:  # of the tool, not of a piece
                yield one.text
                continue
            place = f"{one.where.file}, row {one.where.row}, "
            column_and_rest = one.text.removeprefix(place)
            yield f"{tool}, row {one.where.row}: {column_and_rest.partition(': ')[2]}"


def _given_up_beside(result, blade, doubts):
    """Pieces that the tools beside gave up, whose strokes stand beside the tool's own."""
    for other in beside(result, blade)[1:]:
        theirs = [one for one in doubts if (one.code, one.where.blade) == ("given_up", other)]
        yield from (f"{other}: {line}" for line in doubt_lines(theirs))


# What a knot chop is: a tutorial of testing, a makers' workshop page. What passes: no source.
KNOT = "a knot hacked along the whole edge; whether it passed, the maker judged"
# Nothing says what these must leave unhurt: their rule is the maker's, and stands in the note.
NO_RULE = ("rope", "flex", "bend", "nail", "bone", "antler")
JUDGED = "by what rule the maker judged is not noted"


def _trial_words(one):
    """Passed of tried, and what was done."""
    trial = one.trial
    count = (
        "passed"
        if trial.passed == trial.tried == 1
        else (
            "failed"
            if trial.passed == 0 and trial.tried == 1
            else f"passed {trial.passed} of {trial.tried}"
        )
    )
    note = trial.note or (KNOT if trial.test == "knot" else "")
    return f"{count}: {note}" if note else count
