"""A real server in a process of its own, with the demo town, that a test may stop and start."""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from dataclasses import dataclass, field
from pathlib import Path

from ports import free_port


@dataclass
class TownServer:
    """`potrounds demo` as a person would start it, and `potrounds serve` after a stop."""

    home: Path
    port: int = field(default_factory=free_port)
    process: subprocess.Popen[str] | None = None
    printed: str = ""
    told: str = ""

    @property
    def url(self) -> str:
        """Where the town answers."""
        return f"http://localhost:{self.port}"

    def start(self, command: str = "demo") -> None:
        """Start and wait until the first page is there."""
        log = self.home / "server.log"
        start_of_this_run = log.stat().st_size if log.exists() else 0
        with log.open("a") as out:
            self.process = subprocess.Popen(
                [sys.executable, "-m", "potrounds.cli", command],
                env=self.environment,
                stdout=out,
                stderr=subprocess.STDOUT,
                text=True,
                cwd=self.home,
            )
        deadline = time.monotonic() + 120
        while True:
            try:
                urllib.request.urlopen(f"{self.url}/", timeout=10).close()
                break
            except OSError:
                if self.process.poll() is not None or time.monotonic() > deadline:
                    raise AssertionError(log.read_text()) from None
                time.sleep(0.1)
        self.printed = log.read_bytes()[start_of_this_run:].decode()

    def stop(self) -> None:
        """Stop the process for good, as a power cut would, and see that the port is closed."""
        if self.process is not None:
            self.process.send_signal(signal.SIGKILL)
            self.process.wait()
            self.process = None
        with socket.socket() as probe:
            assert probe.connect_ex(("127.0.0.1", self.port)) != 0, "the server still answers"

    @property
    def invite_link(self) -> str:
        """The volunteer's invite link that the demo printed."""
        found = re.search(r"https?://\S+/join#(\S+)", self.printed + self.told)
        assert found, self.printed
        return f"{self.url}/join#{found.group(1)}"

    def invite(self, name: str) -> str:
        """One more invite, made by the command a person would use."""
        out = self.run("invite", name)
        found = re.search(r"https?://\S+/join#\S+", out)
        assert found, out
        return found.group()

    def run(self, *words: str) -> str:
        """A `potrounds` command on this town; gives what it printed."""
        done = subprocess.run(
            [sys.executable, "-m", "potrounds.cli", *words],
            env=self.environment,
            cwd=self.home,
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == 0, done.stdout + done.stderr
        return done.stdout

    @property
    def environment(self) -> dict[str, str]:
        """The settings of this town."""
        return {
            **os.environ,
            "POTROUNDS_HOME": str(self.home / "town"),
            "POTROUNDS_PORT": str(self.port),
            "PYTHONUNBUFFERED": "1",
        }

    @property
    def coordinator(self) -> tuple[str, str]:
        """Name and password that the demo printed."""
        said = self.printed + self.told
        found = re.search(r"Coordinator: (\S+)\s+Password: (\S+)", said)
        assert found, said
        return found.group(1), found.group(2)
