from models.movements import load_movement
from tests.bench.recognition import Taken, show


def test_a_movement_that_looks_the_same_is_right_and_a_question_is_no_error() -> None:
    assert load_movement("chin-up").looks_like == "pull-up"
    assert Taken("a", "chin-up", "pull-up", "").right
    assert not Taken("b", "pull-up", "row", "").right
    assert not Taken("c", "pull-up", None, "say which").right


def test_the_table_counts_by_movement_and_names_what_went_wrong() -> None:
    taken = [
        Taken("a", "row", "row", ""),
        Taken("b", "row", "dip", ""),
        Taken("c", "row", None, "say which"),
        Taken("d", "dip", "dip", ""),
    ]
    table = show(taken)
    columns = {str(column.header): list(column.cells) for column in table.columns}
    assert columns["movement"] == ["dip", "row", "all"]
    assert columns["clips"] == ["1", "3", "4"]
    assert columns["right"] == ["1", "1", "2"]
    assert columns["asked"] == ["0", "1", "1"]
    assert columns["wrong"] == ["0", "1", "1"]
    assert columns["not taken rightly"] == ["", "c: say which\nb: dip", ""]
