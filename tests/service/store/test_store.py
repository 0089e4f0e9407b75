"""One contract for the store, on a local folder and on a real S3-speaking server."""

import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from service.settings import Settings
from service.store import ClipFiles, Exists, Missing, Store, StoreError, open_store
from tests.service.s3 import Bucket, bucket, s3_server  # noqa: F401

BYTES = bytes(range(256)) * 20_000  # 5 MB: more than one piece


@pytest.fixture(params=["folder", "s3"])
def settings(request: pytest.FixtureRequest, tmp_path: Path) -> Settings:
    places = {"folder": dict, "s3": lambda: request.getfixturevalue("bucket").settings}
    return Settings(data=tmp_path / "data", **places[request.param]())


@pytest.fixture
def store(settings: Settings) -> Store:
    return open_store(settings)


@pytest.fixture
def file(tmp_path: Path) -> Callable[[bytes], Path]:
    def write(content: bytes) -> Path:
        path = tmp_path / "source"
        path.write_bytes(content)
        return path

    return write


Write = Callable[[bytes], Path]


def test_what_is_put_comes_back(store: Store, file: Write, tmp_path: Path) -> None:
    store.put("clips/a/clip.mp4", file(BYTES))
    assert store.size("clips/a/clip.mp4") == len(BYTES)
    pieces = list(store.stream("clips/a/clip.mp4"))
    assert len(pieces) > 1
    assert b"".join(pieces) == BYTES
    store.fetch("clips/a/clip.mp4", tmp_path / "fetched")
    assert (tmp_path / "fetched").read_bytes() == BYTES


def test_an_empty_file(store: Store, file: Write, tmp_path: Path) -> None:
    store.put("clips/a/empty", file(b""))
    assert store.size("clips/a/empty") == 0
    assert list(store.stream("clips/a/empty")) == []
    store.fetch("clips/a/empty", tmp_path / "fetched")
    assert (tmp_path / "fetched").read_bytes() == b""


@pytest.mark.parametrize(
    ("start", "length"), [(0, 1), (0, 10**9), (7, 0), (100, 300), (len(BYTES) - 1, 5), (len(BYTES), 1)]
)
def test_ranges_are_those_of_python(store: Store, file: Write, start: int, length: int) -> None:
    store.put("clips/a/clip.mp4", file(BYTES))
    want = BYTES[start : start + length]
    assert store.get_range("clips/a/clip.mp4", start, length) == want
    assert b"".join(store.stream("clips/a/clip.mp4", start, start + length)) == want
    assert b"".join(store.stream("clips/a/clip.mp4", start)) == BYTES[start:]


def test_nothing_is_written_over(store: Store, file: Write) -> None:
    store.put("clips/a/clip.mp4", file(b"first"))
    with pytest.raises(Exists, match=r"clips/a/clip\.mp4"):
        store.put("clips/a/clip.mp4", file(b"second"))
    assert b"".join(store.stream("clips/a/clip.mp4")) == b"first"


def test_of_many_writers_at_once_one_wins(store: Store, tmp_path: Path) -> None:
    outcomes: list[str] = []
    ready = threading.Barrier(6)

    def write(n: int) -> None:
        source = tmp_path / f"source-{n}"
        source.write_bytes(bytes([n]) * 300_000)
        ready.wait()
        try:
            store.put("clips/a/clip.mp4", source)
            outcomes.append("put")
        except Exists:
            outcomes.append("exists")

    threads = [threading.Thread(target=write, args=(n,)) for n in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(outcomes) == ["exists"] * 5 + ["put"]
    assert len(set(b"".join(store.stream("clips/a/clip.mp4")))) == 1


def test_missing_is_said_and_leaves_nothing(store: Store, tmp_path: Path) -> None:
    for ask in (
        lambda: store.size("clips/a/clip.mp4"),
        lambda: store.get_range("clips/a/clip.mp4", 0, 1),
        lambda: store.stream("clips/a/clip.mp4"),
        lambda: store.fetch("clips/a/clip.mp4", tmp_path / "fetched"),
    ):
        with pytest.raises(Missing, match=r"clips/a/clip\.mp4"):
            ask()
    assert [path.name for path in tmp_path.iterdir() if "fetched" in path.name] == []


def test_deleting_takes_one_clip_and_no_other(store: Store, file: Write) -> None:
    for key in ("clips/a/clip.mp4", "clips/a/proxy.mp4", "clips/ab/clip.mp4", "clips/b/clip.mp4"):
        store.put(key, file(b"x"))
    assert store.delete("clips/a") == 2
    assert sorted(store.list("clips")) == ["clips/ab/clip.mp4", "clips/b/clip.mp4"]
    assert store.delete("clips/a") == 0
    assert store.delete("clips/b/clip.mp4") == 1
    assert list(store.list("clips")) == ["clips/ab/clip.mp4"]


def test_listing_gives_a_file_by_its_own_key(store: Store, file: Write) -> None:
    store.put("clips/a/clip.mp4", file(b"x"))
    assert list(store.list("clips/a/clip.mp4")) == ["clips/a/clip.mp4"]
    assert list(store.list("clips/a/clip")) == []


@pytest.mark.parametrize(
    "key",
    [
        "../secret",
        "clips/../plumbrep.db",
        "clips/a/..",
        "clips/./a",
        "/clips/a",
        "clips//a",
        "clips/a/",
        "",
        "clips/a\\b",
        "clips/a b",
        "clips/%2e%2e/x",
        "clips/a\x00",
        "clips/.hidden",
        "plumbrep.db",
        "clips/" + "a" * 300,
    ],
)
def test_keys_that_lead_elsewhere_are_refused(store: Store, file: Write, key: str, tmp_path: Path) -> None:
    source = file(b"x")
    for use in (
        lambda: store.put(key, source),
        lambda: store.size(key),
        lambda: store.get_range(key, 0, 1),
        lambda: store.stream(key),
        lambda: store.fetch(key, tmp_path / "fetched"),
        lambda: store.delete(key),
        lambda: list(store.list(key)),
    ):
        with pytest.raises(ValueError, match="no key of the store"):
            use()


def test_names_of_a_clips_files() -> None:
    files = ClipFiles("a_b-c")
    assert files.clip("mov") == "clips/a_b-c/clip.mov"
    assert {files.sensor, files.proxy, files.series, files.drawn} == {
        f"clips/a_b-c/{name}" for name in ("sensor.json", "proxy.mp4", "series.npz", "drawn.mp4")
    }


def test_on_a_folder_clips_lie_beside_the_database(tmp_path: Path, file: Write) -> None:
    store = open_store(Settings(data=tmp_path / "data"))
    store.put("clips/a/clip.mp4", file(b"x"))
    assert (tmp_path / "data/clips/a/clip.mp4").read_bytes() == b"x"
    store.delete("clips/a")
    assert not (tmp_path / "data/clips/a").exists()


def test_a_bucket_holds_the_same_under_its_prefix(bucket: Bucket, tmp_path: Path, file: Write) -> None:  # noqa: F811
    open_store(Settings(data=tmp_path, **bucket.settings)).put("clips/a/clip.mp4", file(BYTES))
    assert bucket.contents() == {"some/prefix/clips/a/clip.mp4": BYTES}


def test_a_store_that_refuses_says_so(bucket: Bucket, tmp_path: Path, file: Write) -> None:  # noqa: F811
    absent = {**bucket.settings, "store": "s3://no-such-bucket"}
    with pytest.raises(StoreError):
        open_store(Settings(data=tmp_path, **absent)).put("clips/a/clip.mp4", file(b"x"))
