from sqlalchemy import create_engine, text

from tests.service.servers import Postgres


def test_each_test_gets_an_empty_database_on_one_real_server(postgres: Postgres) -> None:
    with postgres.fresh() as one, postgres.fresh() as other:
        assert one != other
        made, empty = create_engine(one), create_engine(other)
        with made.begin() as connection:
            connection.execute(text("CREATE TABLE rep (n integer)"))
            assert "PostgreSQL" in str(connection.scalar(text("SELECT version()")))
        with empty.begin() as connection:
            assert connection.scalar(text("SELECT to_regclass('rep')")) is None
        made.dispose()
        empty.dispose()
    with postgres.fresh() as later:
        assert later not in (one, other)
