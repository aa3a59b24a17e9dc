"""Which joint it is: the series by the size of its cross, and what each series is listed for."""

from __future__ import annotations

from jackshaft import tables
from jackshaft.chapters.driveline.data import DrivelineData
from jackshaft.parts.telescoping import crosses_like, series_torque
from jackshaft.results.checks import CAUTION, GO, Table
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader

SIZES = ("driveline.cross_cup", "driveline.cross_length")


def judge(draft: Draft, reader: Reader, data: DrivelineData) -> None:
    """Add the check of the cross against the series, and the table of both, where one of them is written down."""
    told, sizes = reader.get("driveline.series"), reader.unknown(*SIZES)
    if told is None and len(sizes) == len(SIZES):
        return
    draft.tables.append(_table(reader, data))
    named, like = ("driveline.cross", "telescoping shaft: which joint"), crosses_like(reader)
    wanted = "one series of the table" if told is None else f"series {told}"
    if like is None:
        words = "Makers share the numbers of the series, not the sizes: measure the cross before you buy a part."
        draft.missing(reader, *named, sizes, words, limit=wanted)
        return
    cup, length = (reader.show(reader.si(key), "length") for key in SIZES)
    found = f"series {' or '.join(map(str, like))}" if like else "none of the table"
    fits = like == (told,) or told is None and len(like) == 1
    words = f"A cross with cups of {cup}, {length} over them, is {found}."
    remedy = "" if fits else "Measure the cross again, and buy by its sizes. Ask the maker of the joint for its torque."
    draft.check(*named, found, wanted, GO if fits else CAUTION, words, remedy, "pto-supplier, from series 4 on memory")


def _table(reader: Reader, data: DrivelineData) -> Table:
    """Return the crosses and the torques of all series."""
    sizes = {row["series"]: row for row in tables.table("joint_crosses").rows}
    rows = []
    for row in tables.table("driveline_series").rows:
        cross = sizes.get(row["series"])
        cells = [None if cross is None else 1e-3 * cross[k] for k in ("cup_mm", "length_mm")]
        torque = series_torque(row["series"], data.speed)
        known = "" if cross is None else cross.known
        rows.append(
            (
                str(row["series"]),
                *(reader.cell(v, "length") for v in cells),
                reader.number(torque, "torque"),
                known,
            )
        )
    at = "540 or 1000 rpm, the lower of both" if data.speed is None else reader.show(data.speed, "rotation")
    note = (
        f"The torque is what a page on drivelines lists at {at}. Other lists differ by 20 to 40 %: the joint's maker "
        "goes before them. Slower than 540 rpm the torque of 540 rpm is kept."
    )
    heads = ("series", "cup", "over the cups", "torque", "sizes known by")
    return Table("Joints by series", heads, tuple(rows), note, aside=True)


__all__ = ["judge"]
