from models.movements import load_movement
from tests.bench.recognition import Taken, show


def test_a_movement_that_looks_the_same_is_right_and_a_question_is_no_error() -> None:
    assert load_movement("chin-up").looks_like == "pull-up"
    assert Taken(clip="a", shows="chin-up", taken_for="pull-up", asked="").right
    assert not Taken(clip="b", shows="pull-up", taken_for="row", asked="").right
    assert not Taken(clip="c", shows="pull-up", taken_for=None, asked="say which").right


def test_the_table_counts_by_movement_and_names_what_went_wrong() -> None:
    taken = [
        Taken(clip="a", shows="row", taken_for="row", asked=""),
        Taken(clip="b", shows="row", taken_for="dip", asked=""),
        Taken(clip="c", shows="row", taken_for=None, asked="say which"),
        Taken(clip="d", shows="dip", taken_for="dip", asked=""),
    ]
    table = show(taken)
    columns = {str(column.header): list(column.cells) for column in table.columns}
    assert columns["movement"] == ["dip", "row", "all"]
    assert columns["clips"] == ["1", "3", "4"]
    assert columns["right"] == ["1", "1", "2"]
    assert columns["asked"] == ["0", "1", "1"]
    assert columns["wrong"] == ["0", "1", "1"]
    assert columns["not taken rightly"] == ["", "c: say which\nb: dip", ""]
