import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy import select

from service.access.actors import OPERATOR, Actor
from service.access.audit import WORDS, Detail, audit
from service.access.decide import Resource
from service.access.tokens import new_token
from service.records import Audit, Base, Gym, new_id, now
from service.records.database import Database


@pytest.fixture(scope="module")
def anywhere(tmp_path_factory: pytest.TempPathFactory) -> Database:
    database = Database(f"sqlite:///{tmp_path_factory.mktemp('audit') / 'a.db'}")
    Base.metadata.create_all(database.engine)
    return database


def test_holds_who_what_and_which(anywhere: Database) -> None:
    with anywhere.session() as session:
        gym = Gym(id=new_id(), name="Tall Oak Hall")
        session.add(gym)
        session.flush()
        coach, athlete, moment = new_id(), new_id(), now()
        detail: Detail = {"days": 30, "scopes": ["read:tempo", "read:clips"], "athlete": athlete, "kept until": moment}
        audit(
            session, Actor("coach", gym.id, person_id=coach), "created", Resource("link", gym.id, athlete, "l1"), detail
        )
        audit(session, Actor("program", gym.id, key_id="k"), "exported", Resource("result", gym.id))
        audit(session, OPERATOR, "created", Resource("gym", gym.id, id=gym.id))
        session.flush()
        rows = {row.actor: row for row in session.scalars(select(Audit))}
        link = rows["coach"]
        assert (link.gym_id, link.actor_id, link.action, link.resource, link.resource_id) == (
            gym.id, coach, "created", "link", "l1",
        )  # fmt: skip
        assert link.detail == {**detail, "kept until": moment.isoformat()}
        assert (rows["program"].actor_id, rows["program"].detail) == ("k", None)
        assert rows["operator"].actor_id is None


@pytest.mark.parametrize(
    "detail",
    [
        {"days": "Ada Quill"}, {"athlete": "ada"}, {"Ada Quill": 1}, {"text": ["met", "Bo"]}, {"name": new_token()},
        {"role": f"pbk_0123456789ab_{new_token()}"}, {"login": "bo@gym.example"}, {"days": ""},
    ],
)  # fmt: skip
def test_refuses_what_could_be_a_name_or_a_secret(anywhere: Database, detail: Detail) -> None:
    with anywhere.session() as session:
        with pytest.raises(ValueError, match="nothing else"):
            audit(session, None, "changed", Resource("person", None), detail)
        with pytest.raises(ValueError, match="nothing else"):
            audit(session, None, "renamed to Bo", Resource("person", None))
        assert not session.new


@given(st.text())
def test_refuses_any_text_that_is_no_word_of_ours(anywhere: Database, text: str) -> None:
    with anywhere.session() as session:
        if text in WORDS or len(text) == 22:
            return
        with pytest.raises(ValueError, match="nothing else"):
            audit(session, None, "changed", Resource("person", None), {"text": text})
