"""Where the belt runs, how long it is, what it wraps and what it misses."""

from jackshaft.results.chapter import Chapter

CHAPTER = Chapter(
    name="layout",
    title="Belt layout",
    place=20,
    needs=("ratio",),
    essential=("layout.length",),
    notebook="20_belt_layout",
    paper="the layout drawing",
    judged_with=("grip", "capacity"),
    dense=True,
    folder="layout",
)
