"""Texts, cells and bytes as people, programs and worn disks damage them."""

HOSTILE = (
    "[" * 400, "{" * 400, "1" * 5001, "9" * 400, "1e999", "-1e300", "nan", "inf", "\x00", "\ufeff",
    '"', '""', "'", ",", ";", "\t", "\r", "\n", "=1+1", "#REF!", "1,234", "1/0", "1/4 in", "-5",
    "../../x", "C:\\x", "\u202e", "é", "true", "false", "null", "2026-02-31", "04.Mrz", "<", ">",
    "3-", "0", "ß" * 300, "[[blades]]", "[scale]", "x = 1", "𐍈", "½", "∞", "\\u0000", "\ud7ff",
)  # fmt: skip


def changed(rng, text):
    """A text with a few changes: of letters, cells and lines, and with what is hostile put in."""
    for _ in range(rng.choice((1, 1, 2, 5))):
        at = rng.randrange(len(text) + 1)
        way = rng.randrange(7)
        if way == 0:
            text = text[:at] + rng.choice(HOSTILE) + text[at:]
        elif way == 1:
            text = text[:at] + text[at + rng.choice((1, 1, 5, 80)) :]
        elif way == 2:
            text = (
                text[:at]
                + chr(rng.choice((rng.randrange(128), rng.randrange(0x2FFF))))
                + text[at + 1 :]
            )
        elif way == 3:
            text = text[:at]
        elif way == 4:
            lines = text.splitlines(keepends=True) or [""]
            lines.insert(rng.randrange(len(lines)), rng.choice(lines) * rng.choice((1, 2)))
            text = "".join(lines)
        elif way == 5:
            lines = text.splitlines(keepends=True)
            rng.shuffle(lines)
            text = "".join(lines)
        else:
            words = text.split(rng.choice((",", "=", '"', "\n")))
            old = rng.choice([word for word in words if word] or ["x"])
            text = text.replace(old, rng.choice(HOSTILE), 1)
    return text


def damaged(rng, data):
    """Bytes with some changed, cut off or left out."""
    data = bytearray(data)
    for _ in range(rng.choice((1, 3, 30))):
        data[rng.randrange(len(data))] = rng.randrange(256)
    if rng.random() < 0.3:
        del data[rng.randrange(len(data)) :]
    return bytes(data)
