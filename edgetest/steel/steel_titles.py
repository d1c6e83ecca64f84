"""What are explanations, families and heats called on a page, in plain words?"""

EXPLANATION_TITLES = {
    "plain_low": "plain steel, little carbon",
    "plain_medium": "plain steel, medium carbon",
    "plain_high": "plain steel, much carbon",
    "low_alloy_low": "low-alloy steel, little carbon",
    "low_alloy_medium": "low-alloy steel, medium carbon",
    "low_alloy_high": "low-alloy steel, much carbon",
    "air_hardening": "rich in alloy, hardens in air",
    "stainless_hardening": "stainless that hardens",
    "stainless_not_hardening": "stainless that does not harden",
    "cast_iron": "cast iron",
    "wrought_iron": "wrought iron",
    "surface_hardened": "hard skin, soft inside",
    "mixed_lot": "not all one steel",
    "something_else": "none of these kinds",
}
FAMILY_TITLES = {
    "hard_edge": "much carbon: hard, keen",
    "tough_edge": "medium carbon: tough",
    "special_heat": "wants a special heat treatment",
    "case_only": "only with carbon packed in",
    "no_edge": "no edge by any means here",
    "sort_first": "sort it first: not all alike",
    "unknown": "none of these",
}
DONE_TITLES = {
    "right": "right",
    "too_cold": "too cold",
    "too_hot": "too hot, coarse",
    "too_short": "too short",
}
