"""What does a chopper's second page say of the heat treatments that were compared?"""

from edgetest.report.documents.blocks import bullets, section


def treatments_section(result, blade):
    """The ratios of the tool's own heat treatment to another, empty where none was compared."""
    study = result.study
    own = study.heat_treatment_of(blade) if study is not None else None
    told = [one.summary() for one in result.report.treatments if own in (one.first, one.second)]
    if not told or blade == study.control:
        return []
    return [
        section("Heat treatments compared", bullets([one[:1].upper() + one[1:] for one in told]))
    ]
