"""What on the machine can hurt somebody, where, and whether its guards keep hands out."""

from jackshaft.results.chapter import Chapter

CHAPTER = Chapter(
    name="guards",
    title="Guards and hazards",
    place=105,
    needs=("ratio", "clutch"),
    notebook="80_guards_and_hazards",
    paper="the hazard list",
    folder="guards",
)
