"""A town's desk for tests below the web: a fresh database, a clock, people with phones."""

from __future__ import annotations

import io
import itertools
import json
import uuid
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from potrounds.config import Settings
from potrounds.services import people, photos, register, sync, town_settings
from potrounds.services.context import Caller, Context
from potrounds.services.refusal import ItemRefused
from potrounds.store import database, derived
from speaking import HandClock

PASSWORD = "a long enough phrase"


def read_item(text: str) -> dict[str, Any]:
    """The plainest reader: the api's own one judges shapes, and is tested there."""
    try:
        item: dict[str, Any] = json.loads(text)
    except json.JSONDecodeError as broken:
        raise ItemRefused("not-json", "Not JSON", str(broken)) from None
    return item


@dataclass
class Phone:
    """Somebody's phone: it freezes records by its own clock, and sends them."""

    desk: Desk
    ctx: Context
    device: str
    clock_error: timedelta = field(default_factory=timedelta)
    numbers: Iterator[int] = field(default_factory=lambda: itertools.count(1))

    @property
    def person(self) -> str:
        """Whose phone it is."""
        assert self.ctx.caller
        return self.ctx.caller.person

    def record(self, kind: str = "check-in", planter: str = "", **more: Any) -> str:
        """The frozen text of a new record. `ago` says how long before now it was made."""
        ago = more.pop("ago", timedelta())
        record = {
            "v": 1,
            "id": str(uuid.uuid4()),
            "kind": kind,
            "planter": planter or self.desk.planter,
            "device": self.device,
            "n": next(self.numbers),
            "wall": (self.desk.clock.now() - ago + self.clock_error).isoformat(),
            "body": {"level": 0.5},
        }
        return json.dumps({**record, **more}, ensure_ascii=False)

    def push(self, *texts: str, **more: Any) -> list[dict[str, Any]]:
        """Send a batch; give the result of each item."""
        envelope = {
            "batch": str(uuid.uuid4()),
            "device": self.device,
            "client": "test",
            "sent_at": (self.desk.clock.now() + self.clock_error).isoformat(),
            "items": list(texts),
            **more,
        }
        results: list[dict[str, Any]] = sync.push(self.ctx, envelope, read_item)["results"]
        return results

    def pull(self, since: str | None = None, limit: int = 200) -> dict[str, Any]:
        """One page of what is new."""
        return sync.pull(self.ctx, since, limit)

    def own(self) -> dict[str, dict[str, Any]]:
        """The newest form of each own record a pull from the start brings."""
        found = {}
        for item in self.pull()["items"]:
            if item["what"] == "record":
                found[item["record"]["id"]] = item["record"]
        return found

    def put_photo(self, data: bytes, sha: str | None = None) -> int:
        """Send a photo's bytes."""
        name = sha or sha256(data).hexdigest()
        return photos.put(self.ctx, name, io.BytesIO(data), len(data), None)

    def named_photo(self, data: bytes) -> str:
        """Push a record that names this photo; give its hash."""
        sha = sha256(data).hexdigest()
        (result,) = self.push(self.record(body={"photos": [sha]}))
        assert result["outcome"] == "stored", result
        return sha


@dataclass
class Desk:
    """A town with one site, two planters and a coordinator, and the server's own context."""

    ctx: Context
    clock: HandClock
    site: str = ""
    planter: str = ""
    other_planter: str = ""

    def join(self, name: str, role: str = "volunteer", **more: Any) -> Phone:
        """Somebody new, with a phone."""
        added = people.add_person(self.ctx, {"name": name, "role": role})
        return self.phone_of(added["id"], name, role, **more)

    def phone_of(self, person: str, name: str, role: str = "volunteer", **more: Any) -> Phone:
        """Another phone of somebody. It needs no session row for what is tested below the web."""
        device = str(uuid.uuid4())
        caller = Caller("ph-test0000", person, name, role, device)
        return Phone(self, self.ctx.with_caller(caller), device, **more)

    def card(self, planter: str = "") -> dict[str, Any]:
        """A planter's card as it stands."""
        card = derived.get(planter or self.planter)
        assert card is not None
        assert card.content is not None
        return card.content

    def add_planter(self, name: str, **more: Any) -> str:
        """One more planter; gives its id."""
        body = {"name": name, "site": self.site, "size": "Medium", "reservoir_l": 16.0, **more}
        return str(register.add_planters(self.ctx, [body])[0]["id"])

    def place(self, planter: str, lat: float | None, lon: float | None) -> dict[str, Any]:
        """Say where a planter stands."""
        version = register.one_planter(planter)["version"]
        return register.change_planter(self.ctx, planter, {"lat": lat, "lon": lon}, version)


def open_desk(home: Path) -> Desk:
    """A furnished town in a database of its own."""
    settings = Settings(home=home, database=f"sqlite:///{home / 'town.sqlite'}")
    clock = HandClock()
    database.open_database(settings.database)
    desk = Desk(Context(settings, clock, hasher=people.quick_hasher()), clock)
    town_settings.change_settings(desk.ctx, {"town_name": "Osier Bend"})
    site = register.add_site(desk.ctx, {"name": "Ferry landing", "freeze_on": date(2026, 11, 2)})
    desk.site = site["id"]
    planting = {"planted_on": date(2026, 3, 20), "plants": ["petunia"], "scheme": "summer"}
    desk.planter = desk.add_planter(
        "Ferry landing 1", gauge="float", installed_on=date(2025, 4, 1), planting=planting
    )
    desk.other_planter = desk.add_planter("Ferry landing 2")
    return desk


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    """A furnished town, closed again after the test."""
    yield open_desk(tmp_path)
    database.shut()


def a_photo(size: tuple[int, int] = (640, 480), form: str = "JPEG", **options: Any) -> bytes:
    """The bytes of a photo with a gradient, so that no two sizes are the same bytes."""
    picture = Image.linear_gradient("L").resize(size).convert("RGB")
    out = io.BytesIO()
    picture.save(out, form, **options)
    return out.getvalue()


def record_id(text: str) -> str:
    """The id inside a record's text."""
    return str(json.loads(text)["id"])
