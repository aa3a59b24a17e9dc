"""How the sizes, limits and differences of a bearing are shown; each is a number with its text."""

from __future__ import annotations

from jackshaft.mechanics.bearing_id import Candidate, Miss
from jackshaft.mechanics.bearing_sizes import Size, is_insert
from jackshaft.mechanics.fits import Limits
from jackshaft.mechanics.inserts import InsertHousing
from jackshaft.results.reader import Reader
from jackshaft.results.values import Number
from jackshaft.units import INCH, THOU, show

MM = 1e-3  # m

#: Key of the build, and what each dimension is called, for each dimension that the method knows.
KEYS = {"bore": "bore", "od": "outside", "width": "width"}
WORDS = {"bore": "bore", "od": "outside diameter", "width": "width"}


def along(system: str) -> tuple[float, str]:
    """Return what a drawing of the given units is scaled in, m, and the unit's name: inches or millimetres."""
    return (INCH, "in") if system == "inch" else (MM, "mm")


def fine(system: str) -> tuple[float, str]:
    """Return the same of small differences: thousandths of an inch or micrometres."""
    return (THOU, "thou") if system == "inch" else (MM / 1000, "μm")


def bare_mm(si: float) -> str:
    """Return millimetres to the micrometre, without their unit and without noughts at the end."""
    return f"{si * 1e3:.3f}".rstrip("0").rstrip(".")


def size_words(reader: Reader, size: Size) -> str:
    """Return bore × outside × width as the shop says them: mm, and inches in front in an inch build."""
    metric = " × ".join(bare_mm(v) for v in (size.bore, size.od, size.width)) + " mm"
    if reader.system == "metric":
        return metric
    return " × ".join(f"{v / INCH:.4f}" for v in (size.bore, size.od, size.width)) + f" in ({metric})"


def dimensions(reader: Reader, size: Size) -> Number:
    """Return the bore with the three dimensions as its words."""
    return reader.number(size.bore, "length", size_words(reader, size))


def bore_words(reader: Reader, size: Size) -> str:
    """Return a bore in mm, and in inches behind in an inch build."""
    metric = f"{bare_mm(size.bore)} mm"
    return metric if reader.system == "metric" else f"{metric} = {size.bore / INCH:.4f} in"


def kind_words(reader: Reader, size: Size) -> str:
    """Return what family a size is of, without naming the other system in a metric build."""
    if is_insert(size):
        return "insert"
    if reader.system == "inch" or "inch" not in size.kind:
        return size.kind
    return {
        "inch": "not a metric series",
        "inch bore, listed": "odd bore, listed",
        "inch bore, not listed": "odd bore, not listed",
    }[size.kind]


def housing_words(housing: InsertHousing, system: str) -> str:
    """Return height and bolts of a housing in words; the bolts as the reach of slots, which two makers set apart."""
    low, high = (show(v, "length", system) for v in (housing.spacing_low, housing.spacing_high))
    words = f"bolts {low if low == high else f'{low} to {high}'} apart, {housing.bolt}"
    return words if housing.height is None else f"shaft {show(housing.height, 'length', system)} high, {words}"


def hours_words(si: float) -> str:
    """Return a life in hours, rounded to what it can mean; hours are the same in both unit systems."""
    return show(si, "time", "metric", by="hours")


def score(reader: Reader, candidate: Candidate) -> Number:
    """Return a candidate's share of the likelihood."""
    return reader.number(candidate.score, "number", by="percent", decimals=1)


def thou(reader: Reader, si: float) -> str:
    """Return a small length in thousandths of an inch, or in micrometres, no finer than a micrometer reads."""
    return reader.show(si, "length", by="indicator")


def off(reader: Reader, miss: Miss) -> Number:
    """Return reading less size, with a sign ! where it is beyond the allowance."""
    plus = "+" if miss.off > 0 and not thou(reader, miss.off).startswith("0 ") else ""
    return reader.number(miss.off, "length", f"{plus}{{}}{'' if miss.within else ' !'}", by="indicator")


def gap(reader: Reader, si: float) -> Number:
    """Return bore less seat: so much loose, or so much tight; the number is below nought where it is tight."""
    return reader.number(si, "length", f"{thou(reader, abs(si))} {'loose' if si > 0 else 'tight'}", by="indicator")


def span(reader: Reader, limits: Limits, words: str = "{}") -> Number:
    """Return limits in the build's units, with millimetres behind in an inch build: what a machinist reads."""
    text = f"{limits.lower * 1e3:.3f} to {limits.upper * 1e3:.3f} mm"
    if reader.system == "inch":
        text = f"{limits.lower / INCH:.4f} to {limits.upper / INCH:.4f} in ({text})"
    return _between(reader, limits.lower, limits.upper, words.format(text))


def deviations(reader: Reader, limits: Limits) -> Number:
    """Return limits as so much over or under nominal: thousandths with micrometres behind, or micrometres."""
    ends = limits.lower_deviation, limits.upper_deviation
    text = " / ".join(f"{v * 1e6:+.0f}" for v in ends) + " μm"
    if reader.system == "inch":
        text = " / ".join(f"{v / THOU:+.1f}" for v in ends) + f" thou ({text})"
    return _between(reader, *ends, text)


def _between(reader: Reader, low: float, high: float, words: str) -> Number:
    return reader.number((low + high) / 2, "length", words, low=low, high=high)
