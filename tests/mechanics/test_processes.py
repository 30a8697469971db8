"""The processes of a sweep: none is left when the one that started them is gone."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from abreast.mechanics.processes import processes

SCRIPT = """
import signal, sys, time
from abreast.mechanics.processes import processes

if __name__ == "__main__":
    # Started in the background, a process may have Ctrl-C ignored; this one heeds it.
    signal.signal(signal.SIGINT, signal.default_int_handler)
    with processes(2) as pool:
        # Each is busy while the other is asked, so that both are there.
        asked = [pool.submit(time.sleep, 0.5) for _ in range(2)]
        [one.result() for one in asked]
        print(*pool._processes, flush=True)
        sys.stdin.read()
"""
PATIENCE_S = 30.0


def is_there(pid: int) -> bool:
    """Whether a process lives; one that only waits to be counted off does not."""
    try:
        state = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0]
    except (FileNotFoundError, ProcessLookupError):
        return False
    return state != "Z"


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="needs /proc")
@pytest.mark.parametrize("sent", [signal.SIGKILL, signal.SIGTERM, signal.SIGINT])
def test_no_process_is_left_behind(tmp_path: Path, sent: signal.Signals) -> None:
    script = tmp_path / "busy.py"
    script.write_text(SCRIPT)
    with subprocess.Popen(
        [sys.executable, str(script)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    ) as parent:
        assert parent.stdout is not None
        pids = [int(one) for one in parent.stdout.readline().split()]
        assert len(pids) == 2 and all(is_there(pid) for pid in pids)
        parent.send_signal(sent)
        parent.wait(PATIENCE_S)
    until = time.monotonic() + PATIENCE_S
    while any(is_there(pid) for pid in pids) and time.monotonic() < until:
        time.sleep(0.05)
    left = [pid for pid in pids if is_there(pid)]
    for pid in left:
        os.kill(pid, signal.SIGKILL)
    assert not left


def test_one_process_is_this_one() -> None:
    with processes(1) as pool:
        assert pool is None
