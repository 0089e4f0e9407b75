"""A child process may do anything; its parent hears of it and goes on."""

import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from service.jobs.contained import Crashed, Limits, Overrun, Refused, Told, run_contained

AMPLE = Limits(seconds=30, memory_mb=500)


def child(folder: Path, program: str) -> tuple[str, ...]:
    script = folder / "child.py"
    script.write_text(f"import ctypes, json, os, signal, sys, time\n{program}\n")
    return (sys.executable, str(script))


def gone(process: int) -> bool:
    """Ended, or ended and not yet noticed by whoever it was left to."""
    try:
        return Path(f"/proc/{process}/stat").read_text().rsplit(")", 1)[1].split()[0] == "Z"
    except FileNotFoundError:
        return True


def test_what_it_tells_is_heard_and_what_it_prints_is_not(tmp_path: Path) -> None:
    heard: list[Told | None] = []
    program = """
print("a library says hello", flush=True)
print(json.dumps({"stage": "following", "share": 0.5}), flush=True)
print("[1, 2]")
time.sleep(0.6)
"""
    run_contained(child(tmp_path, program), tmp_path, AMPLE, heard.append)
    assert Told("following", 0.5) in heard


def test_much_output_does_not_block_it(tmp_path: Path) -> None:
    run_contained(
        child(tmp_path, "print('x' * 10_000_000); print('y' * 10_000_000, file=sys.stderr)"), tmp_path, AMPLE, ignore
    )


def test_a_refusal_is_its_own_words(tmp_path: Path) -> None:
    program = "print(json.dumps({'refused': 'no person is seen'})); sys.exit(2)"
    with pytest.raises(Refused, match=r"^no person is seen$"):
        run_contained(child(tmp_path, program), tmp_path, AMPLE, ignore)


@pytest.mark.parametrize(
    ("program", "said"),
    [
        ("ctypes.string_at(0)", "ended by SIGSEGV"),
        ("os.abort()", "ended by SIGABRT"),
        ("raise RuntimeError('a fault of ours')", "status 1: RuntimeError: a fault of ours"),
        ("sys.exit(2)", "status 2"),
        ("os.kill(os.getpid(), signal.SIGKILL)", "ended by SIGKILL"),
    ],
)
def test_any_other_end_is_a_crash(tmp_path: Path, program: str, said: str) -> None:
    with pytest.raises(Crashed, match=said):
        run_contained(child(tmp_path, program), tmp_path, AMPLE, ignore)


@pytest.mark.parametrize(
    ("program", "said"),
    [
        ("while True: pass", "longer than 1 s"),
        ("signal.signal(signal.SIGTERM, signal.SIG_IGN)\ntime.sleep(60)", "longer than 1 s"),
        ("held = b'x' * (400 * 2**20); time.sleep(60)", "more than 200 MB"),
    ],
)
def test_one_that_takes_too_much_is_ended(tmp_path: Path, program: str, said: str) -> None:
    begun = time.monotonic()
    seconds = 1 if "longer" in said else 30
    with pytest.raises(Overrun, match=said):
        run_contained(child(tmp_path, program), tmp_path, Limits(seconds, 200), ignore)
    assert time.monotonic() - begun < 10


def test_what_it_started_ends_with_it(tmp_path: Path) -> None:
    program = "import subprocess\nprint(json.dumps({'stage': str(subprocess.Popen(['sleep', '60']).pid), 'share': 0}), flush=True)\ntime.sleep(60)"

    class Enough(BaseException):
        pass

    pids: list[int] = []

    def watch(told: Told | None) -> None:
        if told is not None:
            pids.append(int(told.stage))
            raise Enough

    with pytest.raises(Enough):
        run_contained(child(tmp_path, program), tmp_path, AMPLE, watch)
    assert wait_for(lambda: gone(pids[0]))


def test_the_real_child_ends_when_its_parent_is_killed(tmp_path: Path) -> None:
    """Even while it calculates: what ends it is the end of its standard input."""
    program = f"""
from pathlib import Path
from service.jobs.child import _end_with_parent
_end_with_parent()
Path({str(tmp_path / "pid")!r}).write_text(str(os.getpid()))
while True: pass
"""
    parent = f"""
from pathlib import Path
from service.jobs.contained import Limits, run_contained
run_contained({child(tmp_path, program)!r}, Path({str(tmp_path)!r}), Limits(60, 2000), lambda told: None)
"""
    said = tmp_path / "pid"
    running = subprocess.Popen([sys.executable, "-c", parent])
    assert wait_for(lambda: said.exists() and said.read_text() != "", 30)
    running.kill()
    running.wait()
    pid = int(said.read_text())
    assert wait_for(lambda: gone(pid))


def ignore(_told: Told | None) -> None:
    pass


def wait_for(done: Callable[[], bool], seconds: float = 5) -> bool:
    deadline = time.monotonic() + seconds
    while not done():
        if time.monotonic() > deadline:
            return False
        time.sleep(0.05)
    return True
