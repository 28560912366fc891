"""``advisor serve`` as a process of its own, to be killed and begun again."""

from __future__ import annotations

import signal
import socket
import subprocess
import sys
import time
from pathlib import Path
from typing import IO, Any

from advisor.case import load_case


class Server:
    """``advisor serve`` as a process of its own."""

    def __init__(self, folder: Path, *flags: str, stderr: IO[str] | None = None) -> None:
        self.folder, self.flags, self.stderr = folder, flags, stderr
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        scheme = "https" if "--cert" in flags else "http"
        self.url = f"{scheme}://127.0.0.1:{self.port}"
        self.start()

    def start(self) -> None:
        command = ["serve", "--port", str(self.port), "--cases", str(self.folder), *self.flags]
        self.process = subprocess.Popen(
            [sys.executable, "-m", "advisor", *command],
            stdout=subprocess.PIPE, stderr=self.stderr, text=True,
        )  # fmt: skip
        assert self.process.stdout is not None
        for line in self.process.stdout:
            if line.startswith("Code of today: "):
                self.code = line.split(": ")[1].strip()
            if line.startswith("Ctrl-C"):
                break
        for _ in range(200):
            try:
                socket.create_connection(("127.0.0.1", self.port), 1).close()
                return
            except OSError:
                time.sleep(0.05)
        raise AssertionError("the page did not start")

    def kill(self) -> None:
        self.process.send_signal(signal.SIGKILL)
        self.process.wait()

    @property
    def case(self) -> Any:
        (path,) = self.folder.glob("*.toml")
        return load_case(path)
