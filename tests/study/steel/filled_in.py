"""What somebody types in place of the words in capitals of a printed line: invented finds."""

from edgetest.study.steel.fill_in import (
    BY_FILES,
    BY_TESTER,
    MAGNET_COLD,
    MAGNET_HOT,
    TO_FILL_IN,
)

SEEN = {
    "id": "disc A", "origin": "plough disc", "lot": "discs", "makes_blades": "2",
    "coating": "painted", "lead": "suspected", "sparks": "between", "stream": "bright forked",
    "carbon_pct": "0.62", "heat_c": "810", "temperature_c": "400 °F",
    "colour": "cherry", "section_mm": "6",
    "grain": "fine", "fracture": "snapped clean", "result": "same", "edge": "sound",
    "life_ratio": "0.9 (0.7 to 1.1)", "beside": "my known blade", "strokes": "60",
    "exclude": "late into the oil",
    "known_low": "mild bar", "known_high": "an old file",
}  # fmt: skip
OF_WORDS = {word: SEEN[key] for key, word in TO_FILL_IN.items()} | {
    BY_FILES: "60-65", BY_TESTER: "58", MAGNET_COLD: "strong", MAGNET_HOT: "lets go",
}  # fmt: skip


def filled(words):
    """The words of a line, the places in them filled."""
    cells = (word.partition("=") for word in words)
    return [f"{key}{is_}{OF_WORDS.get(text, text)}" for key, is_, text in cells]
