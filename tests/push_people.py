"""People whose phones take pushes, in a town that has pushes on, for tests below the web."""

from __future__ import annotations

import uuid
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Any

import pytest

from desk import Desk, Phone
from potrounds.services import people, push, push_key, push_worker, town_settings
from potrounds.services.context import Caller
from potrounds.store import people as people_rows
from potrounds.store.database import write_transaction
from potrounds.store.push import Note
from push_service import Browser, PushService, push_service


def note(desk: Desk, tag: str = "x", hours: float = 24) -> Note:
    """A push as some service would queue it."""
    ends = desk.clock.now() + timedelta(hours=hours)
    return Note(tag, f"Planter {tag}", "Look", "/p/x", "high", ends)


@dataclass
class Crew:
    """A town with pushes on, its push service, and who joined."""

    desk: Desk
    service: PushService

    def join(self, name: str, role: str = "volunteer") -> tuple[Phone, Browser]:
        """Somebody new with a phone that takes pushes."""
        person = people.add_person(self.desk.ctx, {"name": name, "role": role})["id"]
        return self.phone_of(person, name, role)

    def phone_of(self, person: str, name: str, role: str) -> tuple[Phone, Browser]:
        """Another phone of somebody."""
        now, device = self.desk.clock.now(), str(uuid.uuid4())
        phone = f"ph-{uuid.uuid4().hex[:8]}"
        with write_transaction():
            ends = now + people.VOLUNTEER_LASTS
            people_rows.add_phone(phone, uuid.uuid4().hex, person, device, now, ends)
        caller = Caller(phone, person, name, role, device)
        ctx = self.desk.ctx.with_caller(caller)
        browser = Browser(self.service, name.split()[0].lower())
        push.turn_on(ctx, *browser.subscription)
        return Phone(self.desk, ctx, device), browser

    def queue(self, *tags: str, **more: float) -> None:
        """Put pushes into the queue for every phone."""
        with write_transaction():
            for tag in tags:
                push.queue(self.desk.ctx, note(self.desk, tag, **more), lambda _: True)

    def send(self) -> None:
        """What the server's thread does when the bell rings."""
        push_worker.deliver_all(self.desk.ctx)

    def path_blocked(self, phone: Phone, planter: str = "", **more: Any) -> None:
        """A check-in that raises a flag of today."""
        seen = {"plants": 4, "signs": ["path-blocked"], **more}
        phone.push(phone.record(planter=planter, body=seen))

    def path_free(self, phone: Phone, planter: str = "") -> None:
        """A check-in an hour later that finds nothing amiss."""
        self.desk.clock.tick(hours=1)
        phone.push(phone.record(planter=planter, body={"plants": 4, "signs": []}))


@pytest.fixture
def crew(desk: Desk) -> Iterator[Crew]:
    """A town whose operator made the key and whose coordinator turned pushes on."""
    with push_service() as service:
        desk.ctx = replace(desk.ctx, settings=replace(desk.ctx.settings, push_local=True))
        push_key.make(desk.ctx, anew=False)
        town_settings.change_settings(desk.ctx, {"push_on": True})
        yield Crew(desk, service)
