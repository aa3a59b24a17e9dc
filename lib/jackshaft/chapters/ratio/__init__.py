"""How fast, which way and how hard each shaft turns."""

from jackshaft.results.chapter import Chapter

CHAPTER = Chapter(
    name="ratio",
    title="Drive ratio",
    place=10,
    essential=("ratio.speed", "ratio.direction"),
    ground=("ratio.speed",),
    notebook="10_drive_ratio",
    folder="ratio",
)
