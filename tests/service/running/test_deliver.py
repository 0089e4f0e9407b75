"""Deliveries to real receivers, from either database: signed, tried again, given up, by several processes at once."""

import threading
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from http.server import BaseHTTPRequestHandler

import pytest
import structlog
from sqlalchemy import select, update

from service.hooks.announce import EVENTS, announce
from service.hooks.signature import new_secret
from service.records import Delivery, Gym, Webhook, new_id, now
from service.records.database import Database
from service.running import deliver
from service.running.deliver import deliver_due, wait_after
from service.settings import Settings
from tests.service.hooks.receiver import Answer, Receiver, Verifier, dripping, flaky, receiving, status

INSIDE = Settings(webhooks=True, webhooks_private=True)
OUTSIDE = Settings(webhooks=True)


@pytest.fixture(autouse=True)
def plain_log() -> Iterator[None]:
    """Without the pictures of tracebacks that structlog draws where nothing is configured: they take seconds."""
    before = structlog.get_config()
    structlog.configure(processors=[structlog.processors.format_exc_info, structlog.processors.KeyValueRenderer()])
    yield
    structlog.configure(**before)


@pytest.fixture
def database(sqlite_database: Database) -> Database:
    """One kind; modules whose statements differ by database ask for `both` instead."""
    return sqlite_database


def hook(database: Database, url: str, messages: int = 1) -> Webhook:
    """A webhook of a new gym, with messages that are due."""
    gym = Gym(id=new_id(), name="Tall Oak Hall")
    made = Webhook(id=new_id(), gym_id=gym.id, url=url, secret=new_secret(), events=sorted(EVENTS))
    with database.session() as session:
        session.add(gym)
        session.flush()
        session.add(made)
        session.flush()
        for n in range(messages):
            announce(session, gym.id, "clip.measured", {"clip": f"c{n}", "note": "früh"})
    return made


def rows(database: Database) -> list[Delivery]:
    with database.session() as session:
        return list(session.scalars(select(Delivery).order_by(Delivery.made)))


def hurry(database: Database, made_ago: timedelta = timedelta(0)) -> None:
    """Make everything due now, as if the waiting were over."""
    with database.session() as session:
        session.execute(update(Delivery).values(due=now() - timedelta(seconds=1)))
        if made_ago:
            session.execute(update(Delivery).values(made=now() - made_ago))


def test_a_message_arrives_signed(both: Database) -> None:
    with receiving(status(204)) as receiver:
        made = hook(both, receiver.url)
        assert deliver_due(both, INSIDE) == 1
        assert deliver_due(both, INSIDE) == 0
    (request,), (row,) = receiver.received, rows(both)
    assert Verifier(made.secret).refuses(request) is None
    assert (request.message["id"], request.message["data"]) == (row.id, {"clip": "c0", "note": "früh"})
    assert request.headers["plumbrep-delivery"] == row.id
    assert (request.headers["plumbrep-event"], request.headers["content-type"]) == ("clip.measured", "application/json")
    assert (row.state, row.tries, row.answer, row.error) == ("done", 1, 204, None)
    assert [(t["answer"], t["error"]) for t in row.log] == [(204, None)]
    assert 0 <= row.log[0]["seconds"] < 5


def test_what_a_receiver_refuses(database: Database) -> None:
    with receiving(status(200)) as receiver:
        made = hook(database, receiver.url)
        deliver_due(database, INSIDE)
    (request,) = receiver.received
    verifier = Verifier(made.secret)
    sent = int(request.headers["plumbrep-time"])
    assert Verifier(new_secret()).refuses(request) == "wrong signature"
    assert verifier.refuses(request, sent + 301) == "too old"
    assert verifier.refuses(request, sent - 301) == "too old"
    assert verifier.refuses(request, sent + 299) is None
    assert verifier.refuses(request) == "seen"
    request.headers["plumbrep-time"] = str(sent + 1)
    assert Verifier(made.secret).refuses(request) == "wrong signature", "the time is signed too"
    request.headers["plumbrep-time"] = str(sent)
    request.body += b" "
    assert Verifier(made.secret).refuses(request) == "wrong signature"


def test_a_flaky_receiver_gets_it_in_the_end(both: Database) -> None:
    with receiving(flaky(500, 0, 429, 200)) as receiver:
        made = hook(both, receiver.url)
        for n in range(1, 5):
            assert deliver_due(both, INSIDE) == 1
            (row,) = rows(both)
            assert row.tries == len(row.log) == n
            assert deliver_due(both, INSIDE) == 0, "not before its time"
            hurry(both)
    assert row.state == "done"
    assert [(t["answer"], t["error"]) for t in row.log] == [
        (500, None), (None, "the answer was no HTTP"), (429, None), (200, None),
    ]  # fmt: skip
    assert len({r.headers["plumbrep-delivery"] for r in receiver.received}) == 1
    assert Verifier(made.secret).refuses(receiver.received[-1]) is None, "signed anew each time"


@pytest.mark.parametrize(
    ("answer", "shown", "error"),
    [
        (status(500), 500, None),
        (status(302, Location="http://127.0.0.1:1/"), 302, "redirects are not followed"),
        (dripping(5), None, "no answer in 0.3 s"),
    ],
)
def test_failures_are_told_and_tried_again(
    database: Database, monkeypatch: pytest.MonkeyPatch, answer: Answer, shown: int | None, error: str | None
) -> None:
    monkeypatch.setattr(deliver, "ANSWER_SECONDS", 0.3)
    with receiving(answer) as receiver:
        hook(database, receiver.url)
        deliver_due(database, INSIDE)
    (row,) = rows(database)
    assert (row.state, row.answer, row.error) == ("due", shown, error)
    assert timedelta(seconds=20) < row.due - now() < timedelta(seconds=38)


@pytest.mark.parametrize(
    "url", ["http://127.0.0.1:9/", "https://127.0.0.1:9/", "https://localhost:9/", "https://[::1]:9/"]
)
def test_the_private_network_is_never_called(database: Database, url: str) -> None:
    """Though the row is there: it may have been made while the setting was another."""
    with receiving(status(200)) as receiver:
        hook(database, url.replace(":9/", f":{receiver.port}/"))
        assert deliver_due(database, OUTSIDE) == 1
    assert receiver.connections == 0
    (row,) = rows(database)
    assert row.state == "due"
    assert row.error
    assert "private network" in row.error or "begins with" in row.error


def test_a_name_that_changes_its_mind(database: Database, monkeypatch: pytest.MonkeyPatch) -> None:
    """What was checked is what is connected to, however the name is answered the next time."""
    asked = 0

    def rebinding(*_: object, **__: object) -> list[tuple[object, ...]]:
        nonlocal asked
        asked += 1
        address = "192.0.2.1" if asked == 1 else "127.0.0.1"
        return [(2, 1, 6, "", (address, 443))]

    connected: list[str] = []

    def post(_target: object, address: str, *_: object) -> int:
        connected.append(address)
        return 200

    monkeypatch.setattr(deliver, "post", post)
    monkeypatch.setattr("socket.getaddrinfo", rebinding)
    monkeypatch.setattr("service.hooks.address.may_connect", lambda address, _: str(address) != "127.0.0.1")
    hook(database, "https://tool.example/")
    deliver_due(database, OUTSIDE)
    assert (asked, connected) == (1, ["192.0.2.1"])


def test_a_second_address_where_the_first_is_dead(database: Database, monkeypatch: pytest.MonkeyPatch) -> None:
    with receiving(status(200)) as receiver:
        monkeypatch.setattr(deliver, "resolve", lambda *_: ["127.0.0.2", "127.0.0.1", "127.0.0.3"])
        hook(database, receiver.url)
        deliver_due(database, INSIDE)
    (row,) = rows(database)
    assert (row.state, len(receiver.received)) == ("done", 1)


def test_an_unknown_name(database: Database) -> None:
    hook(database, "https://no-such-host.invalid/")
    deliver_due(database, OUTSIDE)
    assert rows(database)[0].error == "the name is not known"


def test_nothing_is_sent_unless_the_settings_say_so(database: Database) -> None:
    with receiving(status(200)) as receiver:
        hook(database, receiver.url)
        assert deliver_due(database, Settings(webhooks_private=True)) == 0
        assert receiver.connections == 0
        assert deliver_due(database, INSIDE) == 1


def test_a_webhook_that_is_off_waits(database: Database) -> None:
    with receiving(status(200)) as receiver:
        made = hook(database, receiver.url)
        with database.session() as session:
            session.get_one(Webhook, made.id).active = False
        assert deliver_due(database, INSIDE) == 0
        with database.session() as session:
            session.get_one(Webhook, made.id).active = True
        assert deliver_due(database, INSIDE) == 1


def test_waits_grow_to_four_hours_and_a_day_is_the_end(database: Database) -> None:
    for tries, seconds in [(1, 30), (2, 60), (5, 480), (9, 7680), (10, 14400), (1000, 14400)]:
        waits = [wait_after(tries).total_seconds() for _ in range(200)]
        assert 0.75 * seconds <= min(waits) < 0.9 * seconds
        assert 1.1 * seconds < max(waits) <= 1.25 * seconds
    total, tries = timedelta(0), 0
    while total < deliver.GIVE_UP:
        tries += 1
        total += wait_after(tries)
    assert 12 <= tries <= 20
    with receiving(status(500)) as receiver:
        hook(database, receiver.url)
        with database.session() as session:
            session.execute(update(Delivery).values(tries=14))
        hurry(database, timedelta(hours=22))
        deliver_due(database, INSIDE)
        assert rows(database)[0].state == "given up"
        hurry(database)
        assert deliver_due(database, INSIDE) == 0


def test_what_is_older_than_a_day_is_given_up_untried(both: Database) -> None:
    """The machine was off, or webhooks were."""
    with receiving(status(200)) as receiver:
        hook(both, receiver.url)
        hurry(both, timedelta(hours=25))
        assert deliver_due(both, INSIDE) == 0
    assert (rows(both)[0].state, receiver.connections) == ("given up", 0)


def test_what_is_over_is_kept_a_month(database: Database) -> None:
    with receiving(status(200)) as receiver:
        for age in (29, 31):
            hook(database, receiver.url)
            deliver_due(database, INSIDE)
            with database.session() as session:
                session.execute(
                    update(Delivery)
                    .where(Delivery.made > now() - timedelta(days=1))
                    .values(made=now() - timedelta(days=age))
                )
        hook(database, receiver.url)
        deliver_due(database, INSIDE)
    assert len(rows(database)) == 2


def test_several_processes_send_each_message_once(both: Database) -> None:
    with receiving(status(200)) as receiver:
        hooks = [hook(both, receiver.url, messages=3) for _ in range(6)]
        with ThreadPoolExecutor(4) as pool:
            sent = sum(pool.map(lambda _: deliver_due(both, INSIDE), range(4)))
        while deliver_due(both, INSIDE):
            sent += 1
    ids = [r.headers["plumbrep-delivery"] for r in receiver.received]
    assert len(ids) == len(set(ids)) == 18
    assert len(hooks) == 6
    assert {row.state for row in rows(both)} == {"done"}


def test_a_process_that_dies_while_sending_leaves_it_to_others(
    database: Database, monkeypatch: pytest.MonkeyPatch
) -> None:
    def die(*_: object) -> None:
        raise KeyboardInterrupt

    with receiving(status(200)) as receiver:
        hook(database, receiver.url)
        with monkeypatch.context() as patch:
            patch.setattr(deliver, "_send", die)
            with pytest.raises(KeyboardInterrupt):
                deliver_due(database, INSIDE)
        assert deliver_due(database, INSIDE) == 0, "it is leased"
        hurry(database)
        assert deliver_due(database, INSIDE) == 1
    (row,) = rows(database)
    assert (row.state, row.tries, len(row.log)) == ("done", 2, 1)


def test_a_slow_webhook_holds_nobody_up(database: Database, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(deliver, "ANSWER_SECONDS", 0.5)
    with receiving(dripping(5)) as slow, receiving(status(200)) as quick:
        hook(database, slow.url, messages=100)
        hook(database, quick.url, messages=2)
        begun = time.monotonic()
        assert deliver_due(database, INSIDE) == 6
        assert time.monotonic() - begun < 4
        assert len(quick.received) == 2


def test_a_webhook_deleted_while_its_message_is_on_the_way(database: Database) -> None:
    def deleting(handler: object, n: int) -> None:
        with database.session() as session:
            session.delete(session.get_one(Webhook, made.id))
        status(200)(handler, n)  # type: ignore[arg-type]

    with receiving(deleting) as receiver:
        made = hook(database, receiver.url)
        assert deliver_due(database, INSIDE) == 1
    assert rows(database) == []


def test_whoever_is_told_to_stop_leaves_the_rest(database: Database, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(deliver, "AT_ONCE", 1)
    stop = threading.Event()

    def stopping(handler: BaseHTTPRequestHandler, n: int) -> None:
        stop.set()
        status(200)(handler, n)

    with receiving(stopping) as receiver:
        hook(database, receiver.url, messages=4)
        deliver_due(database, INSIDE, stop)
        assert len(receiver.received) == 1
        assert sorted((row.state, row.tries) for row in rows(database)) == [("done", 1), *[("due", 0)] * 3]
        assert deliver_due(database, INSIDE) == 3, "at once, by another"


def wait_for(receiver: Receiver, n: int) -> None:
    end = time.monotonic() + 10
    while len(receiver.received) < n:
        assert time.monotonic() < end
        time.sleep(0.02)


def test_the_thread_sends_and_stops(database: Database, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(deliver, "IDLE_SECONDS", 0.05)
    stop = threading.Event()
    thread = threading.Thread(target=deliver.run, args=(database, INSIDE, stop))
    with receiving(status(200)) as receiver:
        thread.start()
        try:
            hook(database, receiver.url)
            wait_for(receiver, 1)
            while rows(database)[0].state != "done":
                time.sleep(0.02)
            with database.engine.begin() as connection:
                connection.exec_driver_sql("ALTER TABLE delivery RENAME TO away")
            time.sleep(0.2)
            with database.engine.begin() as connection:
                connection.exec_driver_sql("ALTER TABLE away RENAME TO delivery")
            hook(database, receiver.url)
            wait_for(receiver, 2)
        finally:
            stop.set()
            thread.join(5)
    assert not thread.is_alive()
