"""The telescoping shaft to the attachment."""

from jackshaft.results.chapter import Chapter

CHAPTER = Chapter(
    name="driveline",
    title="Telescoping shaft",
    place=100,
    coming=True,
    folder="driveline",
)
