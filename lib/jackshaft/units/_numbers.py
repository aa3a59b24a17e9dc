"""Numbers as a shop writes them: fractions, decimal points and decimal commas, tidied characters."""

from __future__ import annotations

import re

_CHARS = str.maketrans(
    {
        "−": "-",
        "–": "-",
        "—": "-",
        "‐": "-",
        "‑": "-",
        "‒": "-",
        "﹣": "-",
        "－": "-",
        "′": "'",
        "’": "'",
        "‘": "'",
        "ʹ": "'",
        "´": "'",
        "`": "'",
        "″": '"',
        "”": '"',
        "“": '"',
        "ʺ": '"',
        "„": '"',
        "⁄": "/",
        "∕": "/",
        "Ω": "Ω",
        "µ": "μ",
        "∆": "Δ",
        "²": "2",
        "³": "3",
        "⁴": "4",
        "¹": "1",
        "⁻": "-",
        "^": None,
        "⋅": "·",
        "•": "·",
        "∙": "·",
        "*": "·",
        "×": "·",
        "\u00a0": " ",
        "\u2009": " ",
        "\u202f": " ",
        "\u2007": " ",
        "\t": " ",
        "\n": " ",
        "\u200b": None,
        "\ufeff": None,
        "℃": "°C",
        "℉": "°F",
        "º": "°",
        "㎜": "mm",
        "㎝": "cm",
    }
)
_VULGAR = {
    "½": "1/2",
    "⅓": "1/3",
    "⅔": "2/3",
    "¼": "1/4",
    "¾": "3/4",
    "⅕": "1/5",
    "⅖": "2/5",
    "⅗": "3/5",
    "⅘": "4/5",
    "⅙": "1/6",
    "⅚": "5/6",
    "⅐": "1/7",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
    "⅑": "1/9",
    "⅒": "1/10",
}
_VULGAR_ANY = re.compile("[" + "".join(_VULGAR) + "]")
# A narrow or non-breaking space between groups of three is typeset thousands and nothing else.
_THIN_GROUP = re.compile(r"(?<=\d)[\u2009\u202f\u00a0](?=\d{3}(?![\d/]))")
_SPACE_GROUP = re.compile(r"(?<![\d.,/])(\d{1,3})((?: \d{3})+)(?![\d/]| *\d*/)(?=\D|$)")
_MANY = re.compile(r"  +")
_SUPERSCRIPT = re.compile(r"(?<=\d)[²³⁴¹⁻]")

NUMBER = re.compile(
    r"""\s*(?P<sign>[+-]?)\s*(?:
      (?P<whole>\d+)(?:\ +|-)(?P<n1>\d+)\ ?/\ ?(?P<d1>\d+)(?![\d.,])
    | (?P<n2>\d+)\ ?/\ ?(?P<d2>\d+)(?![\d.,])
    | (?P<dec>(?:\d[\d.,]*|[.,]\d[\d.,]*)(?:[eE][+-]?\d+(?![\d.]))?)
    )""",
    re.VERBOSE,
)
_THOUSANDS_POINT = re.compile(r"\d{1,3}(?:,\d{3})+\.\d*")
_THOUSANDS_COMMA = re.compile(r"\d{1,3}(?:\.\d{3})+,\d+")
_THOUSANDS_ONLY = re.compile(r"\d{1,3}(?:,\d{3})+")


class NumberError(ValueError):
    """What is wrong with a number, in shop words; the reader adds the field and the examples."""


def tidy(text: str, system: str) -> tuple[str, str]:
    """The text with one character for each meaning, and a note where digits were joined."""
    note = ""
    if not text.isascii():
        if _SUPERSCRIPT.search(text):
            raise NumberError("a raised digit after a number: powers are not read, write the number out")
        text = _THIN_GROUP.sub("", text)
        text = _VULGAR_ANY.sub(lambda m: " " + _VULGAR[m[0]] + " ", text)
    text = _MANY.sub(" ", text.translate(_CHARS)).strip().replace("''", '"')
    group = _SPACE_GROUP.search(text)
    if group:
        joined = group[0].replace(" ", "")
        if system != "metric":
            raise NumberError(
                f"{group[0]} can be {joined}, or two numbers with something left out between "
                f"them; write {joined} without the space"
            )
        text = text[: group.start()] + joined + text[group.end() :]
        note = f"{group[0]} read as {joined}"
    return text, note


def decimal(token: str, system: str, *, thousands: bool = False) -> tuple[float, float, str]:
    """Value, half a unit of its last digit, and a note, of a decimal number.

    Raises
    ------
    NumberError
        If the comma or the points leave two readings.
    """
    body, _, exponent = token.replace("E", "e").partition("e")
    note = ""
    if "," in body:
        body, note = _comma(body, system, thousands)
    elif ".." in body:
        raise NumberError("this looks like a range; type one value, or the middle ± half the width")
    elif body.count(".") > 1:
        raise NumberError(f"{body} has more than one decimal point")
    places = len(body) - body.index(".") - 1 if "." in body else 0
    power = int(exponent) if exponent else 0
    if abs(power) > 60:
        raise NumberError(f"{token} is beyond any size a machine has")
    return float(body + ("e" + exponent if exponent else "")), 0.5 * 10.0 ** (power - places), note


def _comma(body: str, system: str, thousands: bool) -> tuple[str, str]:
    note = "" if system == "metric" else "{} (comma read as the decimal point)"
    if "." in body:
        if _THOUSANDS_POINT.fullmatch(body):
            return body.replace(",", ""), ""
        if _THOUSANDS_COMMA.fullmatch(body):
            plain = body.replace(".", "").replace(",", ".")
            return plain, note.format(plain)
        raise NumberError(f"{body} mixes points and commas in no usual way")
    if body.count(",") > 1:
        if _THOUSANDS_ONLY.fullmatch(body):
            return body.replace(",", ""), ""
        raise NumberError(f"{body} has more than one comma")
    before, after = body.split(",")
    if not after:
        raise NumberError(f"{body} ends in a comma")
    if len(after) == 3 and 1 <= len(before) <= 3 and not before.startswith("0"):
        if thousands:
            return before + after, f"{body} read as {before}{after}"
        raise NumberError(f"{body} can be read as {before}{after} or as {before}.{after}; write the one you mean")
    plain = f"{before or '0'}.{after}"
    return plain, note.format(plain)


def number(match: re.Match, system: str, *, thousands: bool = False) -> tuple[float, float, str]:
    """Value, half a unit of the last digit, and a note, of what ``NUMBER`` matched.

    ``thousands`` says that nobody gives the quantity to a thousandth, so that 3,600 has one reading.
    """
    token = match["dec"]
    if token is not None:
        value, half, note = decimal(token, system, thousands=thousands)
    else:
        whole = int(match["whole"] or 0)
        top, bottom = int(match["n1"] or match["n2"]), int(match["d1"] or match["d2"])
        if bottom == 0:
            raise NumberError(f"{match[0].strip()} is a fraction over zero")
        if match["whole"] is not None and top >= bottom:
            raise NumberError(
                f"{match[0].strip()} is a whole number with a fraction of one or more after "
                "it; type a single value, not a range"
            )
        value, half, note = whole + top / bottom, 0.0, ""
    return (-value if match["sign"] == "-" else value), half, note
