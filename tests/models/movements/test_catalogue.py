"""Finding movement files: those of the catalogue, and a coach's own in a folder."""

import re
from pathlib import Path

import platformdirs
import pytest

from models.errors import MovementError
from models.movements import load_movement, movement_names, own_movements
from models.movements.catalogue import FOLDER_VARIABLE, LARGEST_FILE, own_folder
from models.suggest import did_you_mean
from tests.models.movements.own import HIP_HINGE, write

BUILT_IN = 17


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder of own movements."""
    monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path))
    return tmp_path


def message(name: str) -> str:
    with pytest.raises(MovementError) as caught:
        load_movement(name)
    assert "\n" not in str(caught.value)
    return str(caught.value)


def test_a_file_in_the_folder_is_a_movement(folder: Path) -> None:
    write(folder)
    assert len(movement_names()) == BUILT_IN + 1
    assert own_movements() == {"hip-hinge": folder / "hip-hinge.toml"}
    hinge = load_movement("hip-hinge")
    assert (hinge.name, hinge.title, hinge.line) == ("hip-hinge", "Hip hinge", "hips-shoulders")
    assert hinge.reps is not None
    assert hinge.reps.driving == "hip"


def test_a_file_that_was_changed_is_read_anew(folder: Path) -> None:
    write(folder)
    assert load_movement("hip-hinge").title == "Hip hinge"
    write(folder, HIP_HINGE.replace("Hip hinge", "Good morning"))
    assert load_movement("hip-hinge").title == "Good morning"
    (folder / "hip-hinge.toml").unlink()
    assert "unknown movement 'hip-hinge'" in message("hip-hinge")


def test_only_toml_files_are_movements(folder: Path) -> None:
    (folder / "notes.txt").write_text("lower slowly")
    assert len(movement_names()) == BUILT_IN


def test_without_the_variable_the_users_data_folder_is_taken(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(FOLDER_VARIABLE, raising=False)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    monkeypatch.setenv("HOME", str(tmp_path))
    assert own_folder() == platformdirs.user_data_path("plumbrep") / "movements"
    assert len(movement_names()) == BUILT_IN  # the folder need not be there
    own_folder().mkdir(parents=True)
    write(own_folder())
    assert "hip-hinge" in movement_names()


def test_a_folder_that_is_named_must_be_there(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(FOLDER_VARIABLE, str(folder / "none"))
    assert message("push-up") == (
        f"the folder of own movements, {folder / 'none'}, cannot be read: No such file or directory; "
        "set PLUMBREP_MOVEMENTS to a folder"
    )


def test_an_own_file_does_not_hide_a_movement_of_the_catalogue(folder: Path) -> None:
    file = folder / "push-up.toml"
    file.write_text(HIP_HINGE)
    says = f"{file}: the catalogue has a movement 'push-up' of its own; give the file another name"
    assert message("push-up") == says
    with pytest.raises(MovementError, match=re.escape(says)):
        movement_names()
    assert load_movement("row").title == "Row under a bar or in straps"


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (('lowering = "grows"', 'lowerin = "grows"'), "line 11, column 1: unknown key 'reps.lowerin'; did you mean 'lowering'?"),
        (("straight = 5", 'straight = "5"'), "reps.straight: should be a number, not '5'"),
        (('tilt = "lean"', 'tilt = "body"'), 'tilt = "body", but lean is named; a movement has body or lean, never both'),
        (("straight = 5", "straight = 80"), "reps: straight 80 is not below bent 75"),
        (('driving = "hip"', 'driving = "hips"'), "reps.driving: should be 'body', 'lean'"),
        (("[position]", "[positions]"), "unknown key 'positions'; did you mean 'position'?"),
        (('contact = "feet"\n', ""), "position.contact is missing; write it down"),
        (("straight = 5", "straight = "), "not valid TOML: Invalid value"),
    ],
)  # fmt: skip
def test_a_faulty_file_is_told_in_one_line_with_its_place(folder: Path, change: tuple[str, str], says: str) -> None:
    assert change[0] in HIP_HINGE
    file = write(folder, HIP_HINGE.replace(*change, 1))
    found = message("hip-hinge")
    assert found.startswith(f"{file}, line ") or "not valid TOML" in found
    assert says in found


def test_what_is_no_text_is_no_movement(folder: Path) -> None:
    (folder / "noise.toml").write_bytes(b"\xff\xfe\x00")
    assert "noise.toml: not valid TOML" in message("noise")
    (folder / "large.toml").write_text("#" * (LARGEST_FILE + 1))
    assert "large.toml: too large for a movement" in message("large")
    (folder / "folder.toml").mkdir()
    assert "cannot read" in message("folder")


def test_the_name_is_one_that_a_command_line_can_take(folder: Path) -> None:
    (folder / "Hip Hinge.toml").write_text(HIP_HINGE)
    assert "name the file in small letters, digits and hyphens" in message("Hip Hinge")


def test_unknown_names_are_refused_with_the_nearest_known() -> None:
    assert "unknown movement 'pullup'; did you mean 'pull-up'? (known: back-lever, " in message("pullup")
    assert "unknown movement '../errors'" in message("../errors")


def test_nothing_is_suggested_for_what_is_like_nothing() -> None:
    assert not did_you_mean("zzz", movement_names())
