"""Histories of several blades, of blades packed with carbon, and of two discs."""

from tests.benchmarks.worlds.blade_histories_one import (
    GOOD,
    NAMED,
    NOT_LEFT,
    NOT_REUSE,
    ORDER,
    TWICE,
)
from tests.benchmarks.worlds.blade_rows import (
    FILES,
    KNOWN,
    READY,
    Expected,
    coupon,
    heat,
    history,
    made,
    piece,
    tried,
)

TWO = made("blade2")

SEVERAL = (
    history(
        "two_stood",
        "Two blades of one disc, made alike, stood.",
        (*READY, *made(), tried("sound"), *TWO, tried("sound", day=8, name="blade2")),
        GOOD,
        ("chance_not_below", "stood"),
        ORDER,
        TWICE,
    ),
    history(
        "one_stood_one_chipped",
        "Two blades made alike: the first stood, the second chipped.",
        (*READY, *made(), tried("sound"), *TWO, tried("chipped", "worse", 8, "blade2")),
        NOT_REUSE,
        ("says", "blade2"),
        ("chance_below", "two_stood"),
        ORDER,
        TWICE,
    ),
    history(
        "one_chipped_one_stood",
        "The same with the names and the days changed round.",
        (*READY, *made(), tried("chipped", "worse"), *TWO, tried("sound", "same", 8, "blade2")),
        NOT_REUSE,
        NAMED,
        ("chance_below", "two_stood"),
        ("chance_near", "one_stood_one_chipped"),
        ORDER,
    ),
    history(
        "one_stood_one_broke",
        "Two blades made alike: one stood, one broke.",
        (*READY, *made(), tried("sound"), *TWO, tried("broke", "worse", 8, "blade2")),
        NOT_REUSE,
        ("says", "blade2"),
        ("says", "broke|break"),
        ("chance_not_above", "one_stood_one_chipped"),
        ORDER,
    ),
    history(
        "three_stood_one_chipped",
        "Four blades made alike: three stood, the fourth chipped.",
        (
            *READY,
            *made(),
            tried("sound"),
            *TWO,
            tried("sound", day=3, name="blade2"),
            *made("blade3"),
            tried("sound", day=5, name="blade3"),
            *made("blade4"),
            tried("chipped", "worse", 8, "blade4"),
        ),
        NOT_LEFT,
        NOT_REUSE,
        ("says", "blade4"),
        ("chance_below", "two_stood"),
        ("chance_not_below", "one_stood_one_chipped"),
        ORDER,
    ),
    history(
        "two_chipped",
        "Two blades made alike chipped: no longer one unlucky edge.",
        (*READY, *made(), tried("chipped", "worse"), *TWO, tried("chipped", "worse", 8, "blade2")),
        NOT_REUSE,
        ("chance_below", "chipped"),
        ("says", "blade1"),
        ("says", "blade2"),
        ORDER,
    ),
    history(
        "tempered_apart",
        "One blade at 220 °C chipped, another at 260 °C stood: one blade each shows no effect.",
        (
            *READY,
            *made(),
            tried("chipped", "worse"),
            *made("blade2", temperature_c=260, hardness="50-55"),
            tried("sound", day=8, name="blade2"),
        ),
        NOT_LEFT,
        NAMED,
        ("chance_below", "two_stood"),
        ("says_not", "because of the temper|260 °C cure|the temper made"),
        ORDER,
    ),
    history(
        "tempered_apart_wrong_way",
        "The harder blade, 200 °C, stood; the softer one, 260 °C, chipped.",
        (
            *READY,
            *made(temperature_c=200),
            tried("sound"),
            *made("blade2", temperature_c=260, hardness="50-55"),
            tried("chipped", "worse", 8, "blade2"),
        ),
        NOT_REUSE,
        ("says", "blade2"),
        ("chance_below", "two_stood"),
        ORDER,
    ),
    history(
        "chip_then_new_blade_untried",
        "The first blade chipped; a second was made alike and not yet struck.",
        (*READY, *made(), tried("chipped", "worse"), *TWO),
        NOT_REUSE,
        NAMED,
        ("chance_below", "stood"),
        ORDER,
    ),
)

PACKED = {"carburised": "yes"}
SOFT = (
    KNOWN,
    FILES,
    piece(sparks="like low", stream="straw no forks"),
    heat("A1", hardness_below="<40", grain="fine", fracture="bent then broke"),
    heat("A2", medium="water", hardness_below="<40", grain="fine", fracture="bent then broke"),
)

CASES = (
    history(
        "packed_stood",
        "Soft steel, packed with carbon, hard at the edge, and it stood.",
        (*SOFT, *made(**PACKED), tried("sound", **PACKED)),
        NOT_REUSE,
        ("says", "pack|carbon"),
        ORDER,
    ),
    history(
        "packed_broke",
        "Soft steel, packed with carbon, and the blade broke.",
        (*SOFT, *made(**PACKED), tried("broke", "worse", **PACKED)),
        ("action_not", ("reuse", "carburise", "reuse_trial")),
        ("says", "broke|break"),
        ORDER,
    ),
    history(
        "packed_chipped_plain_stood",
        "A steel that hardens: the packed blade chipped, the plain one stood.",
        (
            *READY,
            *made(**PACKED),
            tried("chipped", "worse", **PACKED),
            *TWO,
            tried("sound", day=8, name="blade2"),
        ),
        ("action_not", ("carburise", "leave", "buy_known", "laboratory")),
        ("says", "blade1"),
        ORDER,
    ),
)

LOT = {"lot": "harrow"}
A_AND_B = (KNOWN, FILES, piece(**LOT), piece("disc B", **LOT), *coupon())
APART = (KNOWN, FILES, piece(), piece("disc B"), *coupon(), *coupon("Q1", "disc B"))
OF_B = made("other1", "disc B")
BROKE_B = tried("broke", "worse", 8, "other1", "disc B")

DISCS = (
    history(
        "lot_b_untested",
        "Two discs of one lot: a blade of disc A stood, disc B only gave sparks.",
        (*A_AND_B, *made(), tried("sound")),
        ("about", "disc B"),
        ("chance_not_above", "stood"),
        ("says_not", r"disc B[^.]*\bstood"),
        piece="disc B",
    ),
    history(
        "lot_b_broke_asked_b",
        "Two discs of one lot: the blade of A stood, that of B broke. Asked of disc B.",
        (*A_AND_B, *made(), tried("sound"), *coupon("Q1", "disc B"), *OF_B, BROKE_B),
        ("about", "disc B"),
        NOT_REUSE,
        ("says", "other1"),
        ("chance_below", "stood"),
        ORDER,
        piece="disc B",
    ),
    history(
        "lot_b_broke_asked_a",
        "The same, asked of disc A: one lot is one steel, and a blade of it broke.",
        (*A_AND_B, *made(), tried("sound"), *coupon("Q1", "disc B"), *OF_B, BROKE_B),
        ("about", "disc A"),
        ("says", "other1|disc B"),
        ("chance_below", "stood"),
        ORDER,
        piece="disc A",
    ),
    history(
        "apart_asked_a",
        "Two discs from two farms: the blade of A stood, that of B broke. Asked of disc A.",
        (*APART, *made(), tried("sound"), *OF_B, BROKE_B),
        ("about", "disc A"),
        ("same_action", "stood"),
        ("chance_near", "stood"),
        Expected("says_not", "other1", "it is named in the line of disc B, as a blade of disc B"),
        ORDER,
        piece="disc A",
    ),
    history(
        "apart_asked_b",
        "The same, asked of disc B: the blade that stood is of another steel.",
        (*APART, *made(), tried("sound"), *OF_B, BROKE_B),
        ("about", "disc B"),
        NOT_REUSE,
        ("says", "other1"),
        ("says_not", "blade1"),
        ("chance_near", "broke"),
        piece="disc B",
    ),
    history(
        "wrong_disc_typed",
        "The blade's heat stands under disc A, its trial is typed under disc B: ask.",
        (*APART, *made(), tried("chipped", "worse", of="disc B")),
        ("asked", "disc"),
    ),
)
