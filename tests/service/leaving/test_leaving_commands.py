"""The commands, run as an operator runs them."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from service.records.database import Database
from service.settings import Settings
from tests.service.leaving.full import ADA, Full, rows_of, words_in


def plumbrep(settings: Settings, *arguments: object) -> subprocess.CompletedProcess[str]:
    """Run the command with the settings of an installation."""
    told = {name: value for name, value in os.environ.items() if not name.startswith("PLUMBREP_")}
    told |= {"PLUMBREP_DATA": str(settings.data), "PLUMBREP_DATABASE": settings.database}
    command = [sys.executable, "-m", "service.cli", *map(str, arguments)]
    return subprocess.run(command, env=told, capture_output=True, text=True, check=False, timeout=120)


def test_put_by_and_brought_back(full_here: Full, tmp_path: Path) -> None:
    settings = full_here.settings
    done = plumbrep(settings, "backup", tmp_path / "put-by")
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith(f"{tmp_path / 'put-by'}: the records and 10 files, ")
    other = Settings(data=tmp_path / "other")  # not even the folder is there
    done = plumbrep(other, "restore", tmp_path / "put-by")
    assert done.returncode == 0, done.stderr
    assert "2 clips with 10 files came back; 0 deletions since were made again" in done.stdout
    database = Database(other.database_url)
    assert rows_of(database)["effort"] == full_here.rows()["effort"]
    database.engine.dispose()
    assert len(words_in(other.data / "clips", ADA)) == 5


def test_without_a_place_a_backup_goes_where_tidy_finds_it(full_here: Full) -> None:
    assert plumbrep(full_here.settings, "backup").returncode == 0
    (made,) = (full_here.settings.data / "backups").iterdir()
    os.utime(made, (0, 0))
    done = plumbrep(full_here.settings, "tidy")
    assert done.returncode == 0, done.stderr
    assert ", 1 backups, " in done.stdout
    assert not made.exists()


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["backup"], "there is no database"),
        (["tidy"], "the database"),
        (["restore", "nowhere"], "nowhere is no backup of plumbrep"),
    ],
)
def test_what_cannot_be_done_is_one_line(tmp_path: Path, arguments: list[str], words: str) -> None:
    done = plumbrep(Settings(data=tmp_path / "data"), *arguments)
    assert done.returncode == 2
    assert done.stdout == ""
    assert words in done.stderr
    assert done.stderr.count("\n") == 1
    assert list(tmp_path.iterdir()) == []


def test_a_wrong_setting_is_one_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PLUMBREP_STORE", "ftp://somewhere")
    told = {**os.environ, "PLUMBREP_DATA": str(tmp_path)}
    command = [sys.executable, "-m", "service.cli", "tidy"]
    done = subprocess.run(command, env=told, capture_output=True, text=True, check=False, timeout=120)
    assert (done.returncode, done.stderr) == (2, "plumbrep: the settings: store must be empty or begin with s3://\n")


def test_a_store_that_cannot_be_reached_is_one_line(full_here: Full, tmp_path: Path) -> None:
    told = {
        **os.environ,
        "PLUMBREP_DATA": str(full_here.settings.data),
        "PLUMBREP_STORE": "s3://clips",
        "PLUMBREP_S3_ENDPOINT": "https://127.0.0.1:1",
        "PLUMBREP_S3_KEY_ID": "key",
        "PLUMBREP_S3_SECRET": "very-secret",
    }
    command = [sys.executable, "-m", "service.cli", "backup", str(tmp_path / "put-by")]
    done = subprocess.run(command, env=told, capture_output=True, text=True, check=False, timeout=120)
    assert done.returncode == 2
    assert done.stderr.startswith("plumbrep: the store failed at ")
    assert done.stderr.count("\n") == 1
    assert "very-secret" not in done.stderr
    assert not (tmp_path / "put-by").exists()
