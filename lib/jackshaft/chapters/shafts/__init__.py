"""Whether each shaft is thick enough, and what holds each hub on it."""

from jackshaft.results.chapter import Chapter

CHAPTER = Chapter(
    name="shafts",
    title="Shafts and joints",
    place=80,
    needs=("bearings",),
    notebook="50_shafts_and_joints",
    dense=True,
    folder="shafts",
)
