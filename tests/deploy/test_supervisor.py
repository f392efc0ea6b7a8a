import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from deploy import processes
from deploy.supervisor import Child, Supervisor

ENOUGH_S = 10


@pytest.fixture(autouse=True)
def own_signals() -> Iterator[None]:
    """The supervisor takes SIGINT and SIGTERM: give them back to the test run."""
    kept = {number: signal.getsignal(number) for number in (signal.SIGINT, signal.SIGTERM)}
    yield
    for number, taken in kept.items():
        signal.signal(number, taken)


def _child(script: str, *words: str) -> Child:
    return Child(name="worker", command=[sys.executable, "-c", script, *words])


def _pid(child: Child) -> int:
    assert child.process is not None
    return child.process.pid


def test_dead_child_is_started_again_and_a_signal_ends_the_watch(tmp_path: Path) -> None:
    script = "import sys, time; open(sys.argv[1], 'a').write('x'); time.sleep(60)"
    log = tmp_path / "starts"
    child = _child(script, str(log))

    def look_after() -> None:
        if log.read_text() == "x":
            os.kill(_pid(child), signal.SIGKILL)
        elif len(log.read_text()) == 2:
            os.kill(os.getpid(), signal.SIGTERM)

    supervisor = Supervisor([child], look_after=look_after)
    supervisor.start()
    status = supervisor.watch()
    supervisor.stop()

    assert (status, log.read_text()) == (0, "xx")


def test_child_that_keeps_dying_ends_the_watch(capfd: pytest.CaptureFixture[str]) -> None:
    supervisor = Supervisor([_child("raise SystemExit(3)")], look_after=lambda: None)
    supervisor.start()

    assert supervisor.watch() == 1
    assert "The worker keeps dying: see its lines above." in capfd.readouterr().err
    supervisor.stop()


def test_stopping_ends_a_child_that_will_not_and_its_children(tmp_path: Path) -> None:
    stubborn = (
        "import pathlib, signal, subprocess, sys, time\n"
        "signal.signal(signal.SIGTERM, lambda *_: None)\n"
        "grandchild = subprocess.Popen(['sleep', '60'])\n"
        "pathlib.Path(sys.argv[1]).write_text(str(grandchild.pid))\n"
        "time.sleep(60); time.sleep(60)"
    )
    note = tmp_path / "grandchild"
    child = _child(stubborn, str(note))
    supervisor = Supervisor([child], look_after=lambda: None, patience_s=0.5)
    supervisor.start()
    assert processes.wait_until(lambda: note.exists() and note.read_text() != "", seconds=ENOUGH_S)

    supervisor.stop()

    assert child.is_dead()
    assert processes.wait_until(lambda: _is_gone(int(note.read_text())), seconds=ENOUGH_S)


def test_children_end_when_their_supervisor_is_killed(tmp_path: Path) -> None:
    note = tmp_path / "child"
    killed = (
        "import os, pathlib, sys\nfrom deploy.supervisor import Child, Supervisor\n"
        "child = Child(name='worker', command=['sleep', '60'])\n"
        "Supervisor([child], look_after=lambda: None).start()\n"
        "pathlib.Path(sys.argv[1]).write_text(str(child.process.pid))\n"
        "os.kill(os.getpid(), 9)"
    )

    subprocess.run([sys.executable, "-c", killed, str(note)], check=False)

    assert processes.wait_until(lambda: _is_gone(int(note.read_text())), seconds=ENOUGH_S)


def _is_gone(pid: int) -> bool:
    """Gone, or dead and waiting for somebody to ask."""
    state = Path(f"/proc/{pid}/stat")
    return not state.exists() or ") Z " in state.read_text()
