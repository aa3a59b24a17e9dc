"""What the clutch draws, and whether battery, wire, fuse and switch carry it."""

from jackshaft.results.chapter import Chapter

CHAPTER = Chapter(
    name="electric",
    title="Clutch circuit",
    place=50,
    essential=("electric.fuse",),
    ground=("electric.voltage",),
    notebook="30_clutch_electrical_load",
    paper="the wiring sheet",
    dense=True,
    folder="electric",
)
