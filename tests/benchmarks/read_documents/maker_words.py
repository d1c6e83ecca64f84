"""What might a maker type: names in many scripts, lengths, masses, temperatures and times?

Conversions are this module's own: 1 in = 25.4 mm, 1 lb = 453.59237 g (International Yard and Pound
Agreement, 1959), °C = (°F − 32)·5/9.
"""

from dataclasses import dataclass
from fractions import Fraction

SCRIPTS = {
    "plain": (list("HSKTWZ"), ["hard", "soft", "spring", "straw"]),
    "accents": (
        list("ÉØÅŠÑÇ"),
        ["dopuštění žluté", "härtat två gånger", "trempé bleu", "ótr"],
    ),
    "greek": (list("ΛΣΩΔΞΠ"), ["σκληρή", "μαλακή", "μπλε βαφή", "ψυχρή"]),
    "cyrillic": (
        list("ЖДФЮБЛ"),
        ["отпуск синий", "отпуск жёлтый", "закалка", "мягкая"],
    ),
    "cjk": (list("刀刃鋼鉈斧鎌"), ["焼戻し高", "焼戻し低", "水焼入れ", "油焼入れ"]),
    "arabic": (list("سفحدقن"), ["تطبيع", "مراجعة زرقاء", "تسقية", "لين"]),
}
TITLES = {
    "plain": "Billhooks of one plough disc",
    "accents": "Šavle a nože: zkouška č. 3",
    "greek": "Δοκιμή λεπίδων",
    "cyrillic": "Сравнение двух отпусков",
    "cjk": "鉈の切れ味比べ",
    "arabic": "مقارنة معالجتين",
}
MAKERS = {
    "plain": "Alder Lane Forge (invented)",
    "accents": "Kovárna Třešňová (invented)",
    "greek": "Σιδηρουργείο Ελιάς (invented)",
    "cyrillic": "Кузница Берёзовая (invented)",
    "cjk": "架空鍛冶 (invented)",
    "arabic": "ورشة الزيتون (invented)",
}


@dataclass(frozen=True)
class Typed:
    """A quantity as typed, and what it is worth: mm, g, °C or minutes."""

    toml: str
    shown: tuple[str, ...]
    worth: float


def length(draw, mm):
    """A length near `mm`, typed in one of the ways makers type lengths."""
    way = draw.choice(["bare", "mm", "inch", "fraction", "thou"])
    if way == "bare":
        return Typed(f"{mm:g}", (f"{mm:g} mm",), mm)
    if way == "mm":
        return Typed(f'"{mm:g} mm"', (f"{mm:g} mm",), mm)
    if way == "inch":
        inches = round(mm / 25.4, 3)
        return Typed(f'"{inches:g} in"', (f"{inches:g} in",), inches * 25.4)
    if way == "fraction" and mm > 1:
        part = Fraction(max(1, round(mm / 25.4 * 32)), 32)
        whole, rest = divmod(part.numerator, part.denominator)
        text = f"{whole} {rest}/{part.denominator}" if whole and rest else str(part)
        return Typed(f'"{text} in"', (f"{text} in",), float(part) * 25.4)
    thou = round(mm / 0.0254)
    return Typed(f'"{thou} thou"', (f"{thou} thou",), thou * 0.0254)


def mass(draw, g):
    """A mass near `g`."""
    way = draw.choice(["bare", "g", "lb", "oz"])
    if way in ("bare", "g"):
        toml = f"{g:g}" if way == "bare" else f'"{g:g} g"'
        return Typed(toml, (f"{g:g} g",), g)
    each = 453.59237 if way == "lb" else 453.59237 / 16
    amount = round(g / each, 2)
    return Typed(f'"{amount:g} {way}"', (f"{amount:g} {way}",), amount * each)


def temperature(draw, c):
    """Key and value of a temperature near `c`: the key of the step, and what was typed."""
    way = draw.choice(["c", "c text", "f", "f text"])
    f = round((c * 9 / 5 + 32) / 5) * 5
    if way == "c":
        return "temperature_c", Typed(f"{c:g}", (f"{c:g} °C",), c)
    if way == "c text":
        return "temperature_c", Typed(f'"{c:g} °C"', (f"{c:g} °C",), c)
    if way == "f":
        return "temperature_f", Typed(f"{f:g}", (f"{f:g} °F",), (f - 32) * 5 / 9)
    return "temperature_c", Typed(f'"{f:g} °F"', (f"{f:g} °F",), (f - 32) * 5 / 9)


def minutes(draw, many):
    """A time of `many` minutes."""
    if many % 60 == 0 and draw.random() < 0.5:
        hours = many // 60
        return Typed(f'"{hours} h"', (f"{hours} h",), many)
    return Typed(f"{many}", (f"{many} min", f"{many / 60:g} h"), many)
