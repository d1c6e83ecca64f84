"""What a document tells of batches and of rolls: do the study and its log bear it?"""
# ruff: noqa: E501  (a sentence of the document stands in one piece)

import re

from tests.benchmarks.read_documents.sentence_rules import rule


@rule(
    r"The batch \"(.+)\" is nearly \"(.+)\" of other blades, and counts as another\.(?: Write \"(.+)\" if it is the same\.)?"
)
def nearly_alike(m, case):
    """Two batches of blades, that one slip parts."""
    batches = {blade.facts.get("batch") for blade in case.study.blades}
    return None if {m[1], m[2]} <= batches and m[1] != m[2] else f"batches are {batches}"


def shared_batches_of(case):
    """Batches that hold several heat treatments."""
    held = {}
    for blade in case.study.blades:
        if blade.treatment:
            held.setdefault(blade.facts.get("batch"), set()).add(blade.treatment)
    return {batch for batch, kinds in held.items() if batch and len(kinds) > 1}


@rule(
    r"Batches hold blades of every heat treatment, so they enter the answer as shared rolls do\. [A-Z][\w ]* by batch: (.*)\."
)
@rule(
    r"The batches hold the heat treatments in unequal shares: (?:[\w ]+ of )?(.*)\. The answer weighs the blocks \(rolls, boards, days\) and not the batches, so a lucky or unlucky batch may stand in the ratio\. Equal numbers of each heat treatment in every batch would tell\."
)
@rule(
    r"The batches hold the heat treatments in equal shares: (?:[\w ]+ of )?(.*)\. The answer weighs the blocks \(rolls, boards, days\) and not the batches: what a batch did to blades of every heat treatment alike stays in the scatter\."
)
@rule(
    r"Each batch was cut in a block \(roll, board, day\) of its own: (?:[\w ]+ of )?(.*)\. The answer weighs the blocks and so the batches; what the one did and what the other did cannot be told apart\."
)
def shared_batches(m, case):
    """Some batch holds several heat treatments, and each named batch its own blades."""
    if not shared_batches_of(case):
        return "no batch holds several heat treatments"
    for blade in case.study.blades:
        batch = blade.facts.get("batch") or f"none noted of {blade.id}"
        for part in m[1].split("; "):
            named = ", ".join(re.findall(r" \(([^()]+)\)", part)).split(", ")
            if blade.id in named and not part.startswith(f"{batch} ("):
                return f"{blade.id} is of {batch}"
    return None


@rule(r"[A-Z][\w ]* by block \(roll, board, day\): ((?:(?!\. ).)*)\.")
def by_block(m, case):
    """Each blade stands behind the rolls, boards or days on which its rows have it."""
    told = {
        (part.partition(" (")[0], blade)
        for part in m[1].split("; ")
        for blade in ", ".join(re.findall(r" \(([^()]+)\)", part)).split(", ")
    }
    noted = {(r.get("block") or "", r["blade"]) for r in case.study.rows}
    return f"{sorted(told - noted)} is not in the log" if told - noted else None


@rule(
    r"All blades of one heat treatment \((.*)\) lie in the batch (.*), others also in (.*)\. So only the blades beside them in .* tell a lucky or unlucky batch from the heat treatment\. More blades of each in one batch, best in two batches, would tell\."
)
def one_side(m, case):
    """The named blades are of that batch."""
    of = {blade.id: blade.facts.get("batch") for blade in case.study.blades}
    wrong = [name for name in m[1].split(", ") if of.get(name) != m[2]]
    return f"{wrong} are of another batch" if wrong else None


@rule(
    r"No batch is noted for some blades, so each counts as hardened on its own\. If the blades .*"
)
def no_batch(_, case):
    """Some blade has no batch."""
    blank = [b.id for b in case.study.blades if "batch" not in b.facts and b.treatment]
    return None if blank else "every blade has one"


@rule(
    r"No batch is noted for (.+?)\. A blade without one counts in the way that leaves the answer least sure: as out of one batch with others of its heat treatment or, where a batch holds every heat treatment, out of one of its own\. Note the batch .*"
)
def partly_noted(m, case):
    """Those blades have no batch, and some other has."""
    noted = {b.id for b in case.study.blades if "batch" in b.facts}
    wrong = noted.intersection(m[1].split(", "))
    return f"{wrong} have one" if wrong else None if noted else "no blade has one"


@rule(
    r"Blades of one batch share its luck, so each batch counts once, by its mean; more batches narrow the interval, more blades of the same batch hardly do\."
)
@rule(r"Blades of one batch count once\.")
def batches_count_once(_, case):
    """Some batch is noted."""
    return None if any("batch" in b.facts for b in case.study.blades) else "no batch is noted"


@rule(
    r"The heat treatments did not share the rolls \(column batch\) alike: of the first (\d+) cuts ((?:(?!\. ).)+)\."
)
def rolls_unshared(m, case):
    """Each share is that of some roll of the column batch, and those of a heat treatment make 100 %."""
    lots = {r.get("batch") for r in case.bear.in_use} - {None, ""}
    unlike = set()
    for part in m[2].split("; "):
        name, _, made = part.partition(" made ")
        shares = re.findall(r"(\d+) % on ((?:(?! and \d+ % on |, \d+ % on ).)+)", made)
        if case.treatment(name) is None or {lot for _, lot in shares} - lots:
            return f"{part} names what the log does not hold"
        if abs(sum(int(share) for share, _ in shares) - 100) > len(shares):
            return f"the shares of {name} make no whole"
        unlike.add(tuple(sorted(shares)))
    return None if len(unlike) > 1 else "all shares are alike"


@rule(r"What the rolls differ by is in the ratio\.")
@rule(
    r"How far they differ was not measured; lives are taken to scatter by 15 % from roll to roll\."
)
@rule(
    r"Change rolls at the same stage for all blades, or cut one blade of each heat treatment on every roll\."
)
def rolls_differ(_, case):
    """Several rolls stand in the column batch."""
    lots = {r.get("batch") for r in case.bear.in_use} - {None, ""}
    return None if len(lots) > 1 else f"the column batch holds {lots}"


@rule(
    r"The blades of a heat treatment that are compared here were all cut in one block \(roll, board, day\), in which none of the other's was, so a hard or soft roll cannot be told from the heat treatment\."
)
@rule(r"Cut blades of both in every block, or run a control blade in at least two blocks of each\.")
def alone_on_a_block(_, case):
    """Of the blades that came so far some heat treatment met one block, and no other one there."""
    last = {}
    for row in case.bear.in_use:
        last[row["blade"]] = max(last.get(row["blade"], 0), int(row["cuts"]))
    for cuts in sorted(set(last.values())):
        met = {}
        for row in case.bear.in_use:
            blade = next((b for b in case.study.blades if b.id == row["blade"]), None)
            if blade is not None and blade.treatment and last[blade.id] >= cuts:
                met.setdefault(blade.treatment, set()).add(row.get("block", ""))
        for name, own in met.items():
            others = set().union(*(blocks for other, blocks in met.items() if other != name))
            if others and len(own) == 1 and not own & others:
                return None
    return f"the blocks are {met}"


@rule(
    r"No other blade was cut in the block of ({BS}) \((.+)\), so its life is compared across blocks, and the interval is wider for it\."
)
def alone_in_block(m, case):
    """Each of those blades ran in one of those blocks alone."""
    blades, blocks = (re.split(r", | and ", names) for names in (m[1], m[2]))
    there = [{r["blade"] for r in case.bear.in_use if r.get("block", "") == b} for b in blocks]
    return None if there == [{blade} for blade in blades] else f"{there} ran in {blocks}"


@rule(
    r"If it was cut on the roll, board or day of (.+), write that name into block; leave out a first run that was spoilt \(exclude\)\."
)
def of_another_block(m, case):
    """Those are blocks of the log."""
    blocks = {r.get("block", "") for r in case.bear.in_use}
    return None if {*re.split(r", | and ", m[1])} <= blocks else f"the blocks are {blocks}"


@rule(
    r"Blades of the batch(?:es)? (.+) differ in .+, so what stands as batch is not the load in which .*"
)
def parted_before(m, case):
    """Each of those batches holds blades of two heat treatments."""
    held = {}
    for blade in case.study.blades:
        held.setdefault(blade.facts.get("batch"), set()).add(blade.treatment)
    alone = [b for b in m[1].split(" and of the batch ") if len(held.get(b, ())) < 2]
    return f"{alone} hold one heat treatment" if alone else None


@rule(r"All blades of a heat treatment came from one batch, so a lucky or unlucky .*")
@rule(r"The answer is about the batches\.")
@rule(r"Do each heat treatment in two or more batches \(loads of the quench, .*\) to learn .*")
def one_batch(_, case):
    """Some heat treatment of several blades has one batch, noted of each."""
    held = {}
    for blade in case.study.blades:
        held.setdefault(blade.treatment, []).append(blade.facts.get("batch"))
    alone = [own for own in held.values() if len(own) > 1 and len(set(own)) == 1 and own[0]]
    return None if alone else "every heat treatment of several blades has two batches, or blanks"


@rule(r"The batches are compared, not the heat treatments as such: all blades of a .* one batch\.")
@rule(r"A second batch of each would allow more to be said\.")
@rule(r"All blades of a heat treatment may have come from one batch, for the batch of some is .*")
def may_be_confounded(_, case):
    """Of some heat treatment a blade's batch is blank, and of the others one is noted at most."""
    held = {}
    for blade in case.study.blades:
        held.setdefault(blade.treatment, set()).add(blade.facts.get("batch"))
    open_ = [kind for kind, own in held.items() if None in own and len(own) < 3]
    return None if open_ else "every heat treatment has two batches noted, or no blank"


@rule(
    r"What rolls, boards or days did to the lives, as the control blade ({B}) shows it, is taken out of the ratio: so it is not ([\d,]+) : ([\d,]+) = ([\d.]+)\."
)
def no_quotient_by_control(m, case):
    """The control of the study, and a quotient that is not the ratio."""
    if m[1] != case.study.control:
        return f"the control is {case.study.control}"
    return _no_quotient(m[2], m[3], m[4], case)


@rule(
    r"The ratio is not ([\d,]+) : ([\d,]+) = ([\d.]+): (the lives hold what the blocks \(rolls, boards, days\) did to them, and the ratio does not|of some blades an end of the life is known alone, and the ratio weighs all blades together where each life weighs its own)\."
)
def no_quotient(m, case):
    """Blocks in the log, or lives with an open end, and a quotient that is not the ratio."""
    blocks = {row.get("block", "") for row in case.bear.in_use}
    if m[4].startswith("the lives hold") and len(blocks) < 2:
        return f"the log's blocks are {blocks}"
    return _no_quotient(m[1], m[2], m[3], case)


def _no_quotient(over, under, quotient, case):
    """What speaks against a quotient of two lives that is said to be another than the ratio."""
    over, under = (float(one.replace(",", "")) for one in (over, under))
    step = 10.0 ** -len(quotient.partition(".")[2])
    if abs(over / under - float(quotient)) > 0.51 * step:
        return f"{over} : {under} is {over / under}"
    ratio = case.told["ratio"]["estimate"]
    near = min(abs(one - float(quotient)) for one in (ratio, 1 / ratio))
    return None if near > 0.49 * step else f"the ratio is {ratio} too"
