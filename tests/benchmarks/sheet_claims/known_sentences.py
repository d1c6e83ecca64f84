"""Which sentences of a chopper's sheet have been met and are held by a claim, or say nothing of it?

The claims look for what they know; a sentence of a new kind would pass them by. So every sentence
of the page of HTML outside its tables has to be of a kind listed here, else it is told.
"""
# ruff: noqa: E501  (a sentence of the sheet stands in one piece)

import re
from pathlib import Path

from tests.benchmarks.read_documents.page_text import blocks_of
from tests.benchmarks.read_documents.sentence_rules import sentences

N = r"[\d,]*\.?\d+"
KNOWN = [
    re.compile(pattern)
    for pattern in (
        # held by claims of strokes, damage, numbers and rows
        rf"(?:About )?{N} strokes? (?:severs?|did not sever) a piece of .+\.",
        rf"Counted: {N} strokes through {N} pieces?.*\.",
        rf"One piece of .+ still stood after {N} strokes?\.",
        rf"After {N} (?:chops?|strokes?): .+\.", rf"Its edge was touched up after {N} strokes?\.",
        rf"Mean {N} strokes \({N} (?:to {N}|or more)\), {N} % interval; .+\.",
        rf"(?:Mean )?over {N} strokes.*\.", rf"Seeing no chip (?:there|in the photographs) still allows {N} per {N} (?:cm|in)\.",
        rf"Side by side, .+ took {N} % of the strokes that .+ took.+\.", r"Reckoned: .+\.",
        r"Chopper's sheet, tool \S+(?: · 20\d\d-\d\d-\d\d)?(?: · for .+)?",
        rf"Beside it, .+(?:: nobody looked at its edge after it had chopped|, after {N} chops?: .+)\.",
        rf"(?:Both|All {N}) pieces of .+ still stood after {N} strokes? each: such a piece takes over {N} strokes on average\.",
        rf"{N}(?:, {N})* and {N} strokes? did not sever {N} pieces? of .+: such a piece takes over {N} strokes on average\.",
        # of the protocol and of departures from it, held by their own tests
        r".+ \(asked: .+\)\.", r"Held against the protocol: .+\.", r"The protocol .+ asks for: .+\.",
        r"A knot takes strokes that clear wood does not\.", r"Another size takes another number of strokes\.",
        r"A wider or narrower wedge wears at another rate; lives at other angles differ\.",
        r"Their share is that of the pieces where they were noted\.", r"Whether the pieces were so is not known\.",
        r"Dry wood is harder than green\.", r"Each wood takes strokes of its own\.",
        r"How many of the strokes missed the cut is not known\.", r"(?:What the last strokes did to the edge|Whether the edge still shaves) is not known\.", r"What a test by .+ would show is not known\.",
        r"Strokes are told for each by itself\.", r"What (?:a board did|arm, board and day did) .+\.",
        r"When a chip or a roll came is known less well\.",
        r"Whether those edges were ground alike is not known\.",
        r"Tried on paper, nothing was ground: .+\.",
        r"Later strokes are those of an edge that had failed by it\.",
        r"How wide a wedge took these strokes is not known\.",
        # definitions, methods, advice and cautions
        r".+ do not differ alike over the pieces\.", r"Strokes of .+ for one of .+: .+ over all pieces\.",
        r"That .+ rests on .+ that (?:was|were) given up\.",
        r"Strokes of .+ over .+, .+, count .+ that (?:was|were) given up\.",
        r"That .+ counts on how alike the pieces were: .+\.",
        r"If they differed as much: .+\.", r"Pieces took more nearly the same number .+\.",
        rf"Hardest piece of this tool(?: that fell)?: {N} strokes?(?:, and it still stood)?; .+\.", r"It failed in trial: .+\.",
        r".+: where no ± was typed of weights and places, a standard uncertainty is assumed: .+\.",
        r"That .+ rests on .+ with a knot in the cut: knots cost strokes\.",
        r"Knots cost strokes, and that .+ rests on .+ with a knot in the cut\.",
        r"Without(?: its board| their boards)?: .+\.",
        r"Without (?:its board|their boards|them) the two cannot be compared, and nothing tells the two apart\.",
        r"Chop such a piece on until it falls\.",
        r"Each tool has a clear piece of .+ board.*: in clear wood the figure without knots holds\.",
        r"Chop another piece of that board with each tool, clear of knots\.",
        # held by test_mean_with_knots, test_thinner_tip and test_tool_drawn
        rf"{N} of {N} pieces had a knot in the cut.*\.", r"(?:It had a knot|All had knots) in the cut\.",
        r"How high it is ground was not noted: .+\.", r"The steel is drawn to scale; .+\.",
        r"How it rings is not told: .+\.",
        # the hands that chopped, held by test_hands_unlike and test_chopped_pieces
        r"No hand chopped with both .+ and .+ \(.+\): the ratio of their strokes is of the hands as much as of the tools\.",
        r"Other hands chopped with .+ than with .+ on .+\.", r"A hand that strikes harder counts for its tool\.",
        r"These pieces were chopped by .+(?:, on \d+ days)?: hands differ, and the interval allows for it\.",
        r"(?:Pieces of .+ were(?: each)?|\d+ rows were each) chopped (?:on|by) .+: (?:days|hands) differ, and the interval allows for it\.",
        r"Chopped on \d+ days: days differ, and the interval allows for it\.",
        r"Between the pieces the edges were touched up unlike: .+\.", r"Touch up neither, or both alike\.",
        r"The ratio of their strokes is of edges so kept\.",
        r"A piece is reckoned that is .+ than any you chopped: .+\.", r"Chop one nearer to it\.",
        # held by test_ratio_doubts
        r"Wood by wood the ratio points both ways\.",
        r"In so few pieces chance alone can bring that: chop more of each wood before you believe either\.",
        # held by test_board_words
        r"What is blank counts as the other rows of its board have it: .+\.",
        r"If a piece was otherwise, type its own\.",
        r"Believe each row by itself\.", r"Is a size or a count mistyped\?",
        r"Pieces up to 6 % larger than the smallest of their row are one size, for every tool\.", r"As the test went on, .+\.",
        r"First on each (?:shared )?board: .+\.",
        r"An invented forge", r"Invented data, for demonstration",
        r"Strokes for each severed piece, board by board, blade by blade\.",
        r"One blade: its loss is its own, and others like it may differ\.",
        rf"The interval allows for boards that differ by {N} %, which is assumed\.",
        r"Nobody noted which board each piece of .+ came from, so all may come from one\.",
        r"(?:Write board or block|Chop that size from a second board)\.",
        rf"All {N} pieces of .+, from {N} boards: {N}(?: to {N})? strokes each(?:; {N} more pieces?, .+: {N}(?: to {N}| and more)?)?\.",
        r"(?:An edge guard on it|Look at tang, handle|Stop at a crack:|Touch it up on|Wipe off sap).+\.",
        r"Not to scale: a plain bar stands for the tool\.", r"Strike at the percussion centre .+\.",
        r"Percussion centre \(bar: .+\), .+ or past it; the blow as given, .+\.",
        r"That is no place to strike with: .+\.", r"Its percussion centre lies .+\.", r"The tool from the side .+\.",
        r"(?:Strokes for a piece|Swing): .+\.", r".+; nor other (?:or frozen )?wood, splitting, standing stems, slanting cuts, levering, throwing\.",
        r"One tool was tested, not its kind\.", r"Depth of single chops against the chops made before, .+\.",
        r"Each row of .+, tried beside this tool\.", r"Steel: .+\.", r"Chopped on .+\.",
        r".+ is taken as the species .+: only moisture_pct says how wet a piece was\.",
        r"A timing is off by whole swings, and is left out: .+\.",
        r"\S+, row \d+: .+\.", r"The (?:figures|strokes) of its tool, and the comparison, rest on (?:this number|this size|the wood and its water)\.",
        r"Other pieces take other strokes than the protocol's: each wood and size has figures of its own\.",
        r"Each row of its log\. “After” counts this tool's strokes up to then\.",
        rf"The damage of .+? written down fell \((?:chips|rolls|largest chip), {N} before and {N} now\), and damage does not heal: until a touch-up is logged the worst that was seen stands\.",
        r"Log it as a row of the kind touch-up\.", r"Until then the worst that was seen stands\.",
        r"(?:\S+: )?\d+ pieces? (?:was|were) given up still standing, .+\.",
        r"Its hardness was worked out as for a wood of its density, .+\.",
        r"All pieces of .+ come from one board, so their mean is that board's\.",
        r"No published side hardness of .+ was found, so it was worked out from the wood's density .+\.",
        r"(?:Weigh the billet, or write|Write) a measured hardness under \[\[woods\]\] of study\.toml\.",
        r"No piece of this size was severed: the strokes are a lower bound of the mean and no result\.",
        r"Chop on until one falls, or take smaller pieces\.", r"Chop them on until they fall .+\.",
        rf"No piece of .+ was severed: {N} tried, strokes .+\.", r"To know more, the maker chops on .+\.",
        rf"That bounds the mean and gives no figure: such a piece takes at least {N} strokes on average\.",
        r".+ beside it: .+\.",
        r"Left out(?: of .+)?, .+ in row \d+: .+\.", r"Moisture is given in a word: .+\.",
        r"Write a measured percentage\.", r"Green wood is softer than dry\.",
        r"Fewer than five depths for a blade: its loss is not estimated\.",
        rf"Counted: no piece was severed; {N} pieces? still stood after {N} strokes in all\.",
        r"Fewer than ten chops in all for a blade: the exact interval is used; .+\.",
        r"Write orientation, flat or on edge\.",
        r"Standard blow, assumed: .+\.", r"Bamboo is a grass, and its stem is not wood\.",
        r"How the piece lay was not noted: .+\.",
        r"\S+: wood told frozen counts as if it were thawed \(.+\); how much frost changes the strokes is not known here\.",
        r"\S+: nobody looked at the edge between a touch-up and the next piece, .+\.",
        r"Note a look, an inspection row, below the touch-up\.",
        rf"Of pieces whose moisture was not noted, {N} % is assumed\.",
        r"Weigh a slice wet and oven-dry\.",
    )
]  # fmt: skip


def unknown_sentences(folder):
    """Sentences of the sheets in a folder that are of no kind listed here."""
    found = []
    for page in sorted(Path(folder).glob("*.html")):
        for block in blocks_of(page):
            if block.kind in ("p", "li", "alt", "figcaption"):
                found += [one for one in sentences(block.text) if not known(one)]
    return list(dict.fromkeys(found))


def known(sentence):
    """Whether a sentence is of a kind that is listed."""
    return any(pattern.fullmatch(sentence) for pattern in KNOWN)
