"""What the rules say after a row of sessions. The people are invented."""

from collections.abc import Sequence
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.document import VerdictWord
from models.errors import PathError
from models.path.history import Clearance, History, Session, parse_history, session_of
from models.path.rules import Rules, parse_rules
from models.path.standing import owned, pain_since, standing
from models.prescription import Prescription, parse_prescription
from models.verdict import judge
from tests.models.samples import document, one_set, q, rep

MONDAY = date(2026, 3, 2)
ROW = Prescription(movement="row", sets=3, reps=8)
STEEP = Prescription(movement="row", sets=3, reps=8, body_angle=45)
GOOD: tuple[VerdictWord, ...] = ("met", "met", "met")
FAIR: tuple[VerdictWord, ...] = ("met", "met", "missed")
POOR: tuple[VerdictWord, ...] = ("met", "missed", "unsure")


def log(
    *sets: Sequence[VerdictWord], plan: Prescription = ROW, pain: Sequence[int] = (), cleared: Sequence[int] = ()
) -> History:
    """Sessions on days one after the other; `pain` and `cleared` are days counted from Monday."""
    sessions = tuple(
        Session(date=MONDAY + timedelta(n), prescription=plan, sets=tuple(each), pain=n in pain)
        for n, each in enumerate(sets)
    )
    return History(
        sessions=sessions, cleared=tuple(Clearance(date=MONDAY + timedelta(n), by="Ilka Brandt") for n in cleared)
    )


def join(*logs: History) -> History:
    sessions = [session for each in logs for session in each.sessions]
    days = [session.model_copy(update={"date": MONDAY + timedelta(n)}) for n, session in enumerate(sessions)]
    return History(sessions=tuple(days))


@pytest.mark.parametrize(
    ("sets", "direction", "why"),
    [
        ([GOOD, GOOD], "on", "2 sessions in a row with all of the sets met"),
        ([FAIR, GOOD, GOOD], "on", "2 sessions in a row with all of the sets met"),
        ([GOOD, FAIR, GOOD], "stay", "1 session in a row with all of the sets met, of 2 asked for"),
        ([GOOD, GOOD, FAIR], "stay", "0 sessions in a row with all of the sets met, of 2 asked for"),
        ([POOR], "stay", "0 sessions in a row with all of the sets met, of 2 asked for"),
        ([GOOD, POOR, POOR], "back", "2 sessions in a row with fewer than 50 % of the sets met"),
        ([POOR, POOR, FAIR], "stay", "0 sessions in a row with all of the sets met, of 2 asked for"),
    ],
)
def test_the_usual_rules(sets: list[tuple[VerdictWord, ...]], direction: str, why: str) -> None:
    found = standing(log(*sets), Rules())
    assert (found.direction, found.why) == (direction, why)


def test_the_rules_can_be_edited() -> None:
    rules = parse_rules(b"move_on = { sessions = 1, sets = 60 }\nstep_back = { sessions = 1, sets = 40 }", "rules.toml")
    assert standing(log(FAIR), rules).direction == "on"
    assert standing(log(POOR), rules).direction == "back"
    assert standing(log(POOR), Rules()).direction == "stay"


def test_sets_that_were_prescribed_and_not_done_count_as_not_met() -> None:
    assert standing(log(("met", "met"), ("met", "met")), Rules()).direction == "stay"
    assert standing(log((*GOOD, "missed"), GOOD), Rules()).direction == "stay"


def test_only_sessions_of_the_present_variant_count() -> None:
    assert standing(join(log(GOOD, GOOD), log(GOOD, plan=STEEP)), Rules()).direction == "stay"
    assert standing(join(log(POOR, plan=STEEP), log(GOOD, GOOD)), Rules()).direction == "on"
    again = join(log(GOOD), log(POOR, plan=STEEP), log(GOOD))
    assert standing(again, Rules()).why.startswith("1 session in a row")


def test_a_note_does_not_make_another_variant() -> None:
    noted = ROW.model_copy(update={"note": "Bar one hole lower.", "athlete": "Tomasz"})
    assert standing(join(log(GOOD), log(GOOD, plan=noted)), Rules()).direction == "on"


def test_the_order_is_that_of_the_days() -> None:
    sessions = log(POOR, GOOD, GOOD).sessions
    assert standing(History(sessions=(sessions[2], sessions[0], sessions[1])), Rules()).direction == "on"


def test_after_pain_there_is_no_step_up_until_a_person_clears_it() -> None:
    found = standing(log(GOOD, GOOD, pain=[0]), Rules())
    assert found.direction == "stay"
    assert found.why == "pain was reported on 2026-03-02; no step up until a person clears it"
    assert pain_since(log(GOOD, GOOD, pain=[0], cleared=[0])) == MONDAY
    assert pain_since(log(GOOD, GOOD, pain=[0], cleared=[1])) is None
    assert pain_since(log(GOOD, GOOD, GOOD, pain=[2], cleared=[1])) == MONDAY + timedelta(2)


def test_a_session_with_pain_counts_for_nothing_even_when_cleared() -> None:
    assert standing(log(GOOD, GOOD, pain=[0], cleared=[1]), Rules()).direction == "stay"
    assert standing(log(GOOD, GOOD, GOOD, pain=[0], cleared=[1]), Rules()).direction == "on"


def test_what_is_owned_was_met_twice_in_a_row_at_some_time() -> None:
    history = join(log(GOOD, GOOD, plan=STEEP), log(GOOD, FAIR, GOOD))
    assert owned(history, Rules()) == (STEEP,)
    assert owned(join(history, log(GOOD)), Rules()) == (STEEP, ROW)
    assert owned(log(GOOD, GOOD, pain=[1]), Rules()) == ()


def test_without_a_session_nothing_can_be_said() -> None:
    with pytest.raises(PathError, match="the history has no session"):
        standing(History(), Rules())
    assert owned(History(), Rules()) == ()


def test_a_checked_clip_is_a_session() -> None:
    plan = parse_prescription(b'movement = "push-up"\nreps = 1\ntempo = "5-1-1-0"', "plan.toml")
    good = one_set([rep(lowering=q(5), bottom=q(1), raising=q(1), top=q(0.3))])
    checked = judge(document("push-up", good), plan)
    session = session_of(checked, plan, MONDAY, pain=True)
    assert (session.sets, session.pain, session.share_met) == (("met",), True, 100)
    assert session_of(document("push-up", good), plan, MONDAY).sets == ("unsure",)
    with pytest.raises(PathError, match="shows no set"):
        session_of(document("push-up"), plan, MONDAY)


LOG = b"""
athlete = "Tomasz"

[[sessions]]
date = 2026-03-02
sets = ["met", "met", "met"]
[sessions.prescription]
movement = "row"
sets = 3
reps = 8

[[sessions]]
date = 2026-03-04
sets = ["met", "missed", "met"]
pain = true
prescription = { movement = "row", sets = 3, reps = 8 }

[[cleared]]
date = 2026-03-09
by = "Ilka Brandt"
"""


def test_a_history_is_read_from_a_file() -> None:
    history = parse_history(LOG, "tomasz.toml")
    assert [session.prescription for session in history.sessions] == [ROW, ROW]
    assert pain_since(history) is None
    assert standing(history, Rules()).direction == "stay"


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        (b"2026-03-04", b"yesterday", "tomasz.toml, line 13, column 8: not valid TOML"),
        (b"2026-03-04", b'"yesterday"', "tomasz.toml, line 13, column 1: sessions.1.date: should be"),
        (b'"met", "missed", "met"', b'"met", "failed"', "tomasz.toml, line 14, column 1: sessions.1.sets.1: should be"),
        (b'movement = "row"\nsets', b'movement = "rowing"\nsets', "tomasz.toml, line 8, column 1: unknown movement"),
        (b'by = "Ilka Brandt"', b"", "tomasz.toml, line 18"),
        (b"pain = true", b"pian = true", "tomasz.toml, line 15, column 1: unknown key 'sessions.1.pian'; did you mean"),
    ],
)
def test_what_is_wrong_in_it_is_pointed_at(old: bytes, new: bytes, says: str) -> None:
    with pytest.raises(PathError) as caught:
        parse_history(LOG.replace(old, new, 1), "tomasz.toml")
    assert str(caught.value).startswith(says)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("step.largest = 0", "rules.toml, line 1, column 6: step.largest: should be greater than 0, not 0"),
        ("step.biggest = 5", "rules.toml, line 1, column 6: unknown key 'step.biggest' (known: largest, least"),
        (
            "move_on.sessions = 0",
            "rules.toml, line 1, column 9: move_on.sessions: should be greater than or equal to 1",
        ),
        ("start.reps = { sets = 3 }", "rules.toml, line 1, column 7: start.reps: no dose is given; write either"),
        ('via.planche = "dip"', "rules.toml, line 1, column 5: via.planche: "),
    ],
)
def test_what_is_wrong_in_rules_is_pointed_at(text: str, says: str) -> None:
    with pytest.raises(PathError) as caught:
        parse_rules(text.encode(), "rules.toml")
    assert str(caught.value).startswith(says)


WORDS = st.lists(st.sampled_from(["met", "missed", "unsure"]), min_size=3, max_size=3)


@given(st.lists(WORDS, min_size=1, max_size=8), st.sets(st.integers(0, 7)), st.sets(st.integers(0, 9)))
def test_nobody_is_sent_on_with_open_pain_or_unmet_sets(
    sets: list[list[VerdictWord]], pain: set[int], cleared: set[int]
) -> None:
    history = log(*sets, pain=sorted(pain), cleared=sorted(cleared))
    if standing(history, Rules()).direction == "on":
        assert pain_since(history) is None
        assert [each for group in sets[-2:] for each in group] == ["met"] * 6
        assert owned(history, Rules()) == (ROW,)
