"""Why a verdict is what it is, in sentences, and what of it stands in doubt."""

from edgetest.doubts import doubts_of, each_once
from edgetest.estimate import chance
from edgetest.steel.belief import Belief
from edgetest.steel.outcome import VERDICTS, Verdict
from edgetest.steel.steel_evidence import SteelEvidence

SUBJECTS = {
    "life": "Life against the reference blade",
    "hardness": "Hardness after the temper",
    "damage": "Damage in chopping",
    "edge": "Carbon at the softest place of the finished edge",
    "cracking": "Share of quenches that crack",
}


def wanted_words(b: Belief):
    """The limit in the maker's words."""
    if b.name == "life":
        return f"at least {b.in_units(b.full[0]):.2g} of the reference's life"
    if b.name == "hardness":
        return f"{b.full[0]:g} to {b.full[1]:g} HRC"
    if b.name == "damage":
        return f"at most {b.in_units(b.full[1]):.3g} chips or rolls per 100 chops"
    if b.name == "edge":
        return f"at least {b.full[0]:.2f} % carbon at the softest place of the edge"
    return f"at most {b.in_units(b.full[1]):.0%} of quenches cracked"


def reasons_of(found: Verdict, evidence: SteelEvidence):
    """The verdict's reasons as sentences, the weightiest first."""
    said = [_of_criterion(r) for r in sorted(found.criteria, key=lambda r: r.probability_full)]
    losses = found.expected_loss_h
    told = ", ".join(f"{VERDICTS[action].lower()} {loss:.1f} h" for action, loss in losses.items())
    said.append(f"Expected loss by action: {told}.")
    if evidence.quench is not None:
        said += [one.text for one in _of_quench(evidence)]
        said += [f"{detail[0].upper()}{detail[1:]}." for detail in evidence.quench.details]
    if found.verdict == "cannot_tell":
        best = VERDICTS[min(losses, key=lambda action: losses[action])]
        said.append(f"With no further test, the least loss would be: {best.lower()}.")
    test = found.next_test
    if test:
        said.append(
            f"Next: {test.title}: {test.hours:g} h of work, expected to save "
            f"{test.saves_h:.1f} h of wrong decisions."
        )
    elif found.tests:
        said.append("No further test would save more hours than it costs.")
    if found.scope == "lot":
        said.append("More than one piece was tested, so this speaks for the lot.")
    else:
        said.append(f"This holds for piece {found.piece}; for the lot, test another piece.")
    return tuple(said)


def _of_criterion(r):
    """What is known of one criterion, and its odds."""
    if not r.evidence:
        return f"{SUBJECTS[r.name]}: no evidence yet; wanted is {r.wanted}."
    odds = f"meets '{r.wanted}' with probability {chance(r.probability_full)}"
    return f"{SUBJECTS[r.name]} is {r.value.summary()}: {odds}."


def _of_quench(evidence):
    """Contradictions of the quench, then its doubts."""
    quench = evidence.quench
    return (*quench.contradictions, *quench.doubts) if quench is not None else ()


def doubts_of_verdict(found: Verdict, evidence: SteelEvidence):
    """What bears on the verdict, each once."""
    seen = {r.name: r.evidence for r in found.criteria}
    met = {
        "independent_evidence": len(seen) > 1,
        "one_piece": found.scope == "piece",
        "reference_missing": not seen.get("life", True),
        "no_evidence": not all(seen.values()),
    }
    own = doubts_of(code for code, is_so in met.items() if is_so)
    of_hardness = evidence.hardness.doubts if evidence.hardness is not None else ()
    return each_once((*own, *_of_quench(evidence), *of_hardness))
