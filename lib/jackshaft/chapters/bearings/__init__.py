"""Which bearings these are, what they carry and how long they last."""

from jackshaft.results.chapter import Chapter

CHAPTER = Chapter(
    name="bearings",
    title="Bearings",
    place=70,
    needs=("grip",),
    essential=("bearings.life",),
    notebook="40_bearing_lookup",
    paper="the fitting cards",
    dense=True,
    folder="bearings",
)
