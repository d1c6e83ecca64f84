"""An invented hook, with the shop's own beside it: a study and its chop log as they are typed."""

from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.sources import open_chops

STUDY = """
title = "A hook (invented)"
protocol = "billet_chop"
control = "C1"
blades = [{id = "T1"}, {id = "C1", title = "the shop's hook"}, {id = "D2", title = "another's"}]
"""
HEAD = "blade,kind,chops,width_mm,thickness_mm,species,moisture_pct,knots,board,"
HEAD += "chips_count,rolls_count\n"


def analysed(folder, log):
    (folder / "study.toml").write_text(STUDY, encoding="utf-8")
    (folder / "chops.csv").write_text(HEAD + log, encoding="utf-8")
    return analyse_chops(open_chops(folder))
