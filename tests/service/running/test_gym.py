"""`plumbrep gym`: how a gym begins."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from pyotp import TOTP
from sqlalchemy import select
from typer.testing import CliRunner, Result

from service.access.entrance import open_link, sign_in
from service.access.errors import CodeNeeded
from service.cli import app
from service.records import Audit, Gym, Person
from service.records.database import Database
from service.settings import Settings
from tests.service.running.processes import PASSWORD, environment, plumbrep


def gym(*arguments: str, said: str = "") -> Result:
    """Run the command here."""
    return CliRunner().invoke(app, ["gym", *arguments], input=said)


@pytest.fixture
def database(tmp_path: Path, migrated_sqlite: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Database]:
    """The one that the command finds, with the tables made."""
    monkeypatch.setenv("PLUMBREP_DATA", str(tmp_path / "data"))
    (tmp_path / "data").mkdir()
    (tmp_path / "data" / "plumbrep.db").write_bytes(migrated_sqlite.read_bytes())
    made = Database(f"sqlite:///{tmp_path / 'data' / 'plumbrep.db'}")
    yield made
    made.engine.dispose()


def test_an_owner_signs_in_and_an_athlete_comes_by_the_link(tmp_path: Path) -> None:
    """On an empty machine."""
    told = environment(tmp_path / "data", public_url="https://plumbrep.example")
    made = plumbrep(
        told, "gym", "Nord", "--login", "Ada@Nord", "--owner", "Ada Holt", "--time-zone", "Europe/Lisbon",
        "--athlete", "Bo", said=f"{PASSWORD}\n",
    )  # fmt: skip
    assert made.returncode == 0, made.stderr
    assert PASSWORD not in made.stdout + made.stderr
    first, address, _ = made.stdout.splitlines()
    assert first == "Nord: made; Ada@Nord can sign in at https://plumbrep.example"
    place, _, token = address.partition("#")
    assert place == "https://plumbrep.example/in"
    settings = Settings(data=tmp_path / "data")
    database = Database(settings.database_url)
    assert sign_in(database, settings, "ada@nord", PASSWORD, "here").actor.kind == "owner"
    with database.session() as session:
        assert open_link(session, settings, token).actor.kind == "athlete"
        assert session.scalars(select(Gym.time_zone)).all() == ["Europe/Lisbon"]
        assert {row.actor for row in session.scalars(select(Audit).where(Audit.action == "created"))} == {"operator"}
    database.engine.dispose()


@pytest.mark.parametrize(
    ("arguments", "password", "said"),
    [
        (["Nord", "--login", "ada"], "password1234", "this password is among the first to be guessed"),
        (["Nord", "--login", "ada"], "", "a password needs 12 characters"),
        (["", "--login", "ada"], PASSWORD, "the gym needs a name"),
        (["Nord", "--login", " "], PASSWORD, "the login needs a name"),
        (["Nord", "--login", "ada", "--time-zone", "Lisbon"], PASSWORD, "there is no time zone Lisbon"),
        (["Nord", "--athlete", "Bo"], PASSWORD, "there is no gym called Nord"),
    ],
)
def test_what_cannot_be_made_is_one_line_and_leaves_nothing(
    database: Database, arguments: list[str], password: str, said: str
) -> None:
    done = gym(*arguments, said=f"{password}\n")
    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr.startswith(f"plumbrep: {said}")
    assert done.stderr.count("\n") == 1
    with database.session() as session:
        assert session.scalars(select(Gym)).all() == []


def test_what_is_there_already_is_refused(database: Database) -> None:
    with database.session() as session:
        north = Gym(name="Nord")
        session.add(north)
        session.flush()
        session.add(Person(gym_id=north.id, role="owner", name="Ada", login="ada"))
    for name, said in (("Nord", "there is a gym called Nord already"), ("Sued", "the login Ada is taken")):
        done = gym(name, "--login", "Ada", said=f"{PASSWORD}\n")
        assert (done.exit_code, done.stdout) == (2, "")
        assert said in done.stderr


def test_something_must_be_asked_for() -> None:
    done = gym("Nord")
    assert done.exit_code == 2
    assert "say --login to make the gym, --athlete or --second-factor to add to it" in done.stderr


def test_a_second_factor_is_given_and_given_anew(database: Database) -> None:
    gym("Nord", "--login", "Ada", said=f"{PASSWORD}\n")
    settings, secrets = Settings(_env_file=None), set()
    for _ in range(2):
        done = gym("Nord", "--second-factor", "Ada")
        assert (done.exit_code, done.stderr) == (0, "")
        secret, address, _ = done.stdout.splitlines()
        assert address == f"otpauth://totp/Plumbrep:ada?secret={secret}&issuer=Plumbrep"
        secrets.add(secret)
        with pytest.raises(CodeNeeded):
            sign_in(database, settings, "ada", PASSWORD, "here")
        assert sign_in(database, settings, "ada", PASSWORD, "here", code=TOTP(secret).now()).actor.kind == "owner"
    assert len(secrets) == 2
    for name, login in (("Nord", "bo"), ("Sued", "ada")):
        done = gym(name, "--second-factor", login)
        assert (done.exit_code, done.stdout) == (2, "")
        assert done.stderr == f"plumbrep: nobody of {name} signs in with the login {login}\n"
