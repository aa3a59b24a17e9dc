"""What on the machine can hurt somebody, where, and whether its guards keep hands out."""

from jackshaft.results.chapter import Chapter

CHAPTER = Chapter(
    name="guards",
    title="Guards and hazards",
    place=105,
    needs=("ratio", "layout", "roller-chain", "clutch"),
    notebook="80_guards_and_hazards",
    paper="the hazard list",
    judged_with=("layout", "roller-chain"),
    folder="guards",
)
