"""The telescoping shaft to the attachment: whether it is long enough, bends too far, or turns unevenly."""

from jackshaft.results.chapter import Chapter

CHAPTER = Chapter(
    name="driveline",
    title="Telescoping shaft",
    place=100,
    needs=("ratio",),
    notebook="70_telescoping_shaft",
    folder="driveline",
)
