"""Loads the demo town's plan picture with its known points."""

from __future__ import annotations

import hashlib
import io
import json
from datetime import datetime
from importlib.resources.abc import Traversable

from potrounds.services.context import Context
from potrounds.store import photos, site_plans


def load(ctx: Context, source: Traversable, at: datetime) -> None:
    """Take in the pictures like any other, inside the transaction that loads the town."""
    for told in json.loads((source / "site_plans.json").read_text("utf-8")):
        data = (source / "plans" / told["file"]).read_bytes()
        sha = hashlib.sha256(data).hexdigest()
        folder = ctx.settings.photo_folder
        size, size_bytes = photos.take_in(folder, sha, io.BytesIO(data), len(data))
        photos.add(sha, size, size_bytes, None, at)
        values = {"photo": sha, "width": size.width, "height": size.height, "by": None, "at": at}
        site_plans.put(told["scope"], {**values, "points": told["points"]})
