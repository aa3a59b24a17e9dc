"""What the belts are rated for, and how long they last."""

from jackshaft.results.chapter import Chapter

CHAPTER = Chapter(
    name="capacity",
    title="Belt capacity",
    place=40,
    needs=("grip",),
    notebook="25_tension_and_grip",
    folder="capacity",
)
