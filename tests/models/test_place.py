import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.place import Place, find

PLAN = '''# A plan.
movement = "push-up"
note = """
reps = 5
[limits]
"""
reps = 8

[limits]   # of each rep
bent.elbow = { low = 90,  high = 120 }
straight = { elbow.high = 20 }

  [limits.worst]
  hip.low = -20
  "deviation" = { high = 8 }
'''


@pytest.mark.parametrize(
    ("key", "place"),
    [
        (["movement"], Place(2, 1)),
        (["reps"], Place(7, 1)),
        (["limits"], Place(9, 2)),
        (["limits", "bent", "elbow"], Place(10, 6)),
        (["limits", "bent", "elbow", "high"], Place(10, 27)),
        (["limits", "straight", "elbow", "high"], Place(11, 20)),
        (["limits", "worst"], Place(13, 11)),
        (["limits", "worst", "hip", "low"], Place(14, 7)),
        (["limits", "worst", "deviation", "high"], Place(15, 19)),
    ],
)
def test_a_key_is_found_where_it_stands(key: list[str], place: Place) -> None:
    assert find(PLAN, key) == place


def test_what_is_not_written_is_pointed_at_by_the_table_around_it() -> None:
    assert find(PLAN, ["limits", "bent", "hip"]) == Place(10, 1)
    assert find(PLAN, ["limits", "drift", "high"]) == Place(9, 2)
    assert find(PLAN, ["sets"]) is None
    assert find(PLAN, []) is None


def test_the_column_is_left_out_where_the_name_stands_twice() -> None:
    assert find('note = "no note"', ["note"]) == Place(1, None)
    assert find("[limits]\nbent.elbow = { low = 90 } # low enough", ["limits", "bent", "elbow", "low"]) == Place(2)


def test_an_entry_of_an_array_is_pointed_at_by_the_array() -> None:
    text = "reps = 5\n[band]\npairs = [\n  [10, 5],\n  [20, 9],\n]\n"
    assert find(text, ["band", "pairs", 1, 0]) == Place(3, 1)


def test_each_entry_of_an_array_of_tables_has_a_place_of_its_own() -> None:
    text = "[[day]]\nsets = 3\n[day.plan]\nreps = 5\n\n[[day]]\nsets = 4\nplan = { reps = 6 }\n[[day.pain]]\nat = 1\n"
    assert tomllib.loads(text)["day"][1] == {"sets": 4, "plan": {"reps": 6}, "pain": [{"at": 1}]}
    assert find(text, ["day", 0, "sets"]) == Place(2, 1)
    assert find(text, ["day", 0, "plan", "reps"]) == Place(4, 1)
    assert find(text, ["day", 1, "sets"]) == Place(7, 1)
    assert find(text, ["day", 1, "plan", "reps"]) == Place(8, 10)
    assert find(text, ["day", 1, "pain", 0, "at"]) == Place(10, 1)
    assert find(text, ["day", 1, "date"]) == Place(6)


def test_windows_line_ends_count_once() -> None:
    assert find("reps = 5\r\n\r\nhold = 3\r\n", ["hold"]) == Place(3, 1)


def test_a_place_reads_as_words() -> None:
    assert str(Place(4, 8)) == "line 4, column 8"
    assert str(Place(4)) == "line 4"


def test_an_endless_statement_is_not_searched() -> None:
    text = "reps = 5\nnumbers = [\n" + "1,\n" * 3000 + "]\nhold = 3\n"
    tomllib.loads(text)
    assert find(text, ["reps"]) == Place(1, 1)
    assert find(text, ["hold"]) is None


NAMES = st.text("abcdefg_", min_size=1, max_size=5)
VALUES = st.one_of(
    st.integers(0, 99).map(str), st.just('"""\nx = 1\n[y]\n"""'), st.just("[\n1,\n2,\n]"), st.just("'#'")
)


@given(
    st.dictionaries(NAMES, st.dictionaries(NAMES, VALUES, min_size=1, max_size=4), min_size=1, max_size=4),
    st.sampled_from(["", "\n", "# a remark = [\n"]),
)
def test_every_key_of_any_file_is_on_the_line_that_wrote_it(tables: dict[str, dict[str, str]], air: str) -> None:
    text, written = "", {}
    for table, entries in tables.items():
        text += f"{air}[{table}]\n"
        for name, value in entries.items():
            written[table, name] = text.count("\n") + 1
            text += f"{name} = {value}\n"
    tomllib.loads(text)
    for key, line in written.items():
        place = find(text, key)
        assert place is not None
        assert place.line == line
