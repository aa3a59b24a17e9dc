"""A fault by questions: every cause can be found, no cause is ruled out that fits, a reading counts by this build."""

from math import log2

import pytest
from jackshaft import tables
from jackshaft.buildfile import DEMO, load, parse
from jackshaft.cli import main
from jackshaft.record import faults, narrowing
from jackshaft.record.narrowing import begin, complaints
from jackshaft.record.on_terminal import chosen, converse, listed
from jackshaft.results import work_up
from jackshaft.start.record_cards import questions

#: Causes that no look of the list tells apart: both burn the faces.
ALIKE = {"bad faces", "long pull-up"}


@pytest.fixture(scope="module")
def results():
    return work_up(load(DEMO))


@pytest.fixture(scope="module")
def everything(results):
    """Return the cases of a machine that has every part, so that every cause of the table is among them."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(narrowing, "has", lambda at, part: True)
        return [begin(results, c) for c in complaints(results)]


def outcomes(case, true):
    """Yield each end that a case can come to where ``true`` is the cause and every answer is what it shows."""
    look = case.question
    if look is None:
        yield case
        return
    for number, finding in enumerate(look.findings, 1):
        if true in finding.causes:
            yield from outcomes(case.answer(str(number)), true)


def test_every_part_and_every_value_that_the_tables_name_is_known():
    causes, looks = (tables.table(f"fault_{name}").rows for name in ("causes", "looks"))
    assert {row["part"] for row in causes if row["part"]} <= set(faults._HAS)
    assert {row["reading"] for row in looks if row["reading"]} == set(narrowing._BANDS)
    assert {row["asks"] for row in looks} == set(narrowing.ASKS)
    assert {row["machine"] for row in looks} == {"stopped", "running"}


def test_every_cause_is_found_by_few_looks_and_never_ruled_out(everything, for_each):
    def found(case, true):
        for end in outcomes(case, true):
            left = {c.name for c in end.found}
            assert true in left and (left == {true} or left == ALIKE), (left, end.steps)
            # twice what perfect halving takes, and one: some looks part one cause only
            assert len(end.steps) <= 2 * log2(len(case.left)) + 1, [s.look for s in end.steps]

    tried = {f"{case.complaint}: {name}": (case, name) for case in everything for name in case.causes}
    for_each(tried, lambda key: found(*tried[key]))


def test_no_other_look_leaves_fewer_causes_at_worst(everything):
    for case in everything:
        asked = max(case.question.parts(case.left))
        assert asked == min(max(look.parts(case.left)) for look in case.looks) < len(case.left), case.complaint


def test_one_that_cannot_be_done_is_left_out_and_rules_nothing_out(results):
    case = begin(results, complaints(results)[0])
    after = case.skip()
    assert after.left == case.left and after.question.words != case.question.words
    while after.question is not None:
        after = after.answer("skip")
    assert after.left == case.left and "No look of the list" in after.end


def at(results, complaint, look):
    """Return a case whose next question is a look."""
    case = begin(results, complaint)
    while not case.question.words.startswith(look):
        case = case.skip()
    return case


@pytest.mark.parametrize(
    ("typed", "ruled_out", "words"),
    [
        # 2.6 ohm at 20 °C, copper, two coils alike to a twentieth: 2.6 (1 - 0.00393 x 20) 0.95 = 2.28 ohm at 0 °C and
        # 2.6 (1 + 0.00393 x 20) 1.05 = 2.94 ohm at 40 °C; a meter is right to a fiftieth
        ("2.6 ohm", {"shorted coil"}, "as many"),
        ("1.9 ohm", {"bad faces", "wide gap"}, "fewer"),
        ("2.27 ohm", set(), "too close to tell"),
        ("12 kohm", {"shorted coil", "wide gap"}, "no path"),
    ],
)
def test_a_reading_is_judged_by_this_build(results, typed, ruled_out, words):
    case = at(results, "The work slows or stands under load", "The coil's ohms")
    after = case.answer(typed)
    assert words in after.steps[-1].answer
    out = {c.name for c in after.steps[-1].out}
    assert ruled_out <= out if ruled_out else not out


def test_what_fits_nothing_says_so_and_what_is_no_answer_is_refused(results):
    case = at(results, "The work slows or stands under load", "The coil's ohms")
    assert "goes with none" in case.answer("12 kohm").end
    for typed, words in (
        ("9", "from 1 to 3"),
        ("a lot", "no number"),
        ("", "nothing was typed"),
        ("3 V", "wants a resistance"),
    ):
        with pytest.raises(ValueError, match=words):
            case.answer(typed)
    with pytest.raises(ValueError, match="wanted one of"):
        begin(results, "it is blue")
    # of a machine of which nothing is said there can be wrong what is wrong with any
    nothing = work_up(parse(b'schema = 1\nname = "x"\n', file="x.toml"))
    anywhere = {row["cause"] for row in tables.table("fault_causes").rows if not row["part"]}
    assert {name for c in complaints(nothing) for name in begin(nothing, c).causes} == anywhere


def test_a_machine_without_a_part_is_not_asked_about_it():
    case = work_up(load("rotor_bearings"))
    names = {name for c in complaints(case) for name in begin(case, c).causes}
    assert "worn bearing" in names and not names & {"wide gap", "slack belt", "cut pin", "blown fuse"}


def test_on_the_terminal_and_with_answers_given(results, capsys):
    assert main(["fault", DEMO, "slows", "--answers", "1; 2"]) == 0
    out = capsys.readouterr().out
    assert "jackshaft 1286 rpm" in out and "Ruled out: " in out and "A groove is worn hollow" in out.splitlines()[-1]
    assert listed(results).startswith("1. The work slows") and chosen(results, "1") == chosen(results, "SLOWS")
    said, typed = [], iter(["what?", "1", "2"])
    assert converse(results, chosen(results, "1"), (), lambda words: next(typed), said.append).end in said[-1]
    assert any("found 'what?'" in words for words in said)
    for words, answers, wrong in (("slows", "121", "1 more answers"), ("slows", "7", "from 1"), ("work", "", "number")):
        with pytest.raises(ValueError, match=wrong):
            converse(results, chosen(results, words), answers, None, said.append)


def test_the_card_asks_takes_back_and_ends(results):
    card = questions(results)
    card.start.value = complaints(results)[0]
    first = card.asked.value
    card.finding.value = "1"
    card.form.run(card._answer)
    assert "flanks" in card.asked.value and "Ruled out: " in card.told.value
    card.form.run(card._back)
    assert card.asked.value == first and not card.told.value
    card.form.run(card._answer)
    assert "found no answer" in card.form.alert.value
    for number in ("1", "2"):
        card.finding.value = number
        card.form.run(card._answer)
    assert "A groove is worn hollow" in card.asked.value and card.finding.layout.display == "none"
    card.form.run(card._skip)
    assert "no open question" in card.form.alert.value
