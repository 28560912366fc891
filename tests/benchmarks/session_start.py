"""Time from start to the first question, beside the libraries alone.

    python -m tests.benchmarks.session_start

Whole processes, medians: ``advisor ask`` on a terminal until its first question
stands on the screen, and until it takes the first answer in; against a process
that only imports rich, pydantic and durable.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time

import pexpect

RUNS = 9
BARE = "import rich.console, pydantic, durable.engine; from pydantic import BaseModel"


def main() -> None:
    bare = statistics.median(_bare() for _ in range(RUNS))
    pairs = [_session() for _ in range(RUNS)]
    first = statistics.median(pair[0] for pair in pairs)
    second = statistics.median(pair[1] for pair in pairs)
    at_once = statistics.median(_session(wait=0.0)[1] for _ in range(RUNS))
    print(f"bare imports, whole process     {bare * 1000:6.0f} ms")
    print(f"first question on the screen    {first * 1000:6.0f} ms   {first / bare:.2f} times bare")
    print(f"second question, after an answer typed 2 s later {second * 1000:6.0f} ms")
    print(f"second question, answer typed at once            {at_once * 1000:6.0f} ms")


def _bare() -> float:
    start = time.perf_counter()
    subprocess.run([sys.executable, "-c", BARE], check=True)
    return time.perf_counter() - start


def _session(wait: float = 2.0) -> tuple[float, float]:
    """(seconds to the first question, seconds from its answer to the second)."""
    with tempfile.TemporaryDirectory() as folder:
        start = time.perf_counter()
        child = pexpect.spawn(
            sys.executable, ["-m", "advisor", "ask", "--cases", folder], timeout=30, echo=False
        )
        child.delaybeforesend = None
        child.expect_exact("1. Where are the fish now?")
        first = time.perf_counter() - start
        child.expect_exact("> ")
        time.sleep(wait)
        start = time.perf_counter()
        child.sendline("3")
        child.expect_exact("2. How do they breathe")
        second = time.perf_counter() - start
        child.sendline("s")
        child.expect(pexpect.EOF)
        child.close()
    return first, second


if __name__ == "__main__":
    main()
