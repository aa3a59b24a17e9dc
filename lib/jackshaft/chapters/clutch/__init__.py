"""What the clutch holds, how long it slips and how warm it gets."""

from jackshaft.results.chapter import Chapter

CHAPTER = Chapter(
    name="clutch",
    title="Clutch",
    place=60,
    needs=("ratio", "electric", "grip"),
    notebook="30_clutch_electrical_load",
    dense=True,
    folder="clutch",
)
