"""Which part slips, shears or twists first when the work jams."""

from jackshaft.results.chapter import Chapter

CHAPTER = Chapter(
    name="chain",
    title="What gives first",
    place=90,
    needs=("grip", "clutch", "shafts"),
    notebook="60_what_gives_first",
    dense=True,
    folder="weak_link",
)
