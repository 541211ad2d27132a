"""People who speak to a town over the web, so that a test reads as what they say and hear."""

from __future__ import annotations

import json
import uuid
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any

from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from potrounds.api.access import COOKIE
from potrounds.config import Clock
from potrounds.services import invites, people, register, set_up
from potrounds.services.context import Context
from potrounds.store import database

PASSWORD = "seventeen letters"
START = datetime(2026, 5, 4, 8, 0, tzinfo=UTC)
OWN_PAGE = {"Sec-Fetch-Site": "same-origin"}


class HandClock(Clock):
    """A clock that stands still until somebody moves it."""

    def __init__(self, moment: datetime = START) -> None:
        super().__init__()
        self.moment = moment

    def now(self) -> datetime:
        """The moment the clock was set to."""
        return self.moment

    def tick(self, **span: float) -> None:
        """Let some time pass."""
        self.moment += timedelta(**span)


class WholeAnswers(FlaskClient):
    """A client that reads each answer to its end and closes the file behind it."""

    def open(self, *args: Any, **kwargs: Any) -> TestResponse:
        """Send a request."""
        return super().open(*args, buffered=True, **kwargs)


@dataclass
class Speaker:
    """Somebody with a browser: it sends what browsers send, and keeps cookies."""

    client: FlaskClient
    clock: HandClock
    device: str = field(default_factory=lambda: str(uuid.uuid4()))
    n: int = 0

    def ask(self, method: str, path: str, **more: Any) -> TestResponse:
        """Send a request to /api/v1 as our own page would."""
        headers = {**OWN_PAGE, **more.pop("headers", {})}
        return self.client.open(f"/api/v1{path}", method=method, headers=headers, **more)

    def get(self, path: str, **more: Any) -> TestResponse:
        """Read something."""
        return self.ask("GET", path, **more)

    def post(self, path: str, body: Any = None, **more: Any) -> TestResponse:
        """Send something as JSON."""
        return self.ask("POST", path, json={} if body is None else body, **more)

    def put(self, path: str, body: Any, **more: Any) -> TestResponse:
        """Put something as JSON."""
        return self.ask("PUT", path, json=body, **more)

    def patch(self, path: str, body: Any, **more: Any) -> TestResponse:
        """Change something."""
        return self.ask("PATCH", path, json=body, **more)

    def delete(self, path: str) -> TestResponse:
        """Remove something."""
        return self.ask("DELETE", path)

    def record(self, planter: str, kind: str = "check-in", body: Any = None, **more: Any) -> str:
        """The frozen text of a new record of this phone."""
        self.n += 1
        record = {
            "v": 1,
            "id": str(uuid.uuid4()),
            "kind": kind,
            "planter": planter,
            "device": self.device,
            "n": self.n,
            "wall": self.clock.now().isoformat(),
            "body": {"level": 0.5} if body is None else body,
        }
        return json.dumps({**record, **more}, ensure_ascii=False)

    def envelope(self, *texts: str, **more: Any) -> dict[str, Any]:
        """A batch around some record texts."""
        return {
            "batch": str(uuid.uuid4()),
            "device": self.device,
            "client": "0.1.0",
            "sent_at": self.clock.now().isoformat(),
            "items": list(texts),
            **more,
        }

    def push(self, *texts: str) -> list[dict[str, Any]]:
        """Push some records; give the result of each."""
        answer = self.post("/sync/push", self.envelope(*texts))
        assert answer.status_code == 200, answer.text
        results: list[dict[str, Any]] = answer.json["results"]
        return results

    def join(self, secret: str, name: str = "Vera") -> TestResponse:
        """Join with the secret of an invite."""
        return self.post("/join", {"secret": secret, "device": self.device, "name": name})

    def sign_in(self, name: str, password: str = PASSWORD) -> TestResponse:
        """Sign in with a password."""
        asked = {"name": name, "password": password, "device": self.device}
        return self.post("/sign-in", asked)


@dataclass(frozen=True)
class Town:
    """A small town: one site, two planters, one coordinator."""

    context: Context
    clock: HandClock
    site: str
    planter: dict[str, Any]
    other_planter: dict[str, Any]
    coordinator: str
    sessions: dict[str, tuple[str, str]]

    def speaker(self, client: FlaskClient, name: str) -> Speaker:
        """Somebody of the town who signed in or joined before the test began."""
        token, device = self.sessions[name]
        client.set_cookie(COOKIE, token)
        return Speaker(client, self.clock, device)

    def invite(self, role: str = "volunteer", name: str = "Vera") -> str:
        """The secret of a new invite."""
        asked = {"role": role, "name": name}
        with database.connection():
            made = invites.create_invite(self.context, asked, "http://localhost")
        return str(made["url"]).partition("#")[2]


def furnish(context: Context, clock: HandClock) -> Town:
    """Put a small town into an empty database, with a coordinator and a volunteer."""
    devices = {name: str(uuid.uuid4()) for name in ("Corin", "Vera")}
    with database.connection():
        set_up.set_up(context, "Osier Bend", "UTC", "Corin", PASSWORD)
        coordinator = register.overview(context)["people"][0]["id"]
        site = register.add_site(context, {"name": "Quay"})["id"]
        new = {"site": site, "size": "Medium", "reservoir_l": 16, "installed_on": "2026-04-01"}
        first, second = register.add_planters(
            context, [{**new, "name": "Quay 1"}, {**new, "name": "Quay 2"}]
        )
        corin, _ = people.sign_in(context, "Corin", PASSWORD, devices["Corin"])
        town = Town(context, clock, site, first, second, coordinator, {})
        vera, _ = people.join(context, town.invite(), devices["Vera"], "Vera")
    town.sessions["Corin"] = (corin, devices["Corin"])
    town.sessions["Vera"] = (vera, devices["Vera"])
    return town


def assert_problem(answer: Any, status: int, slug: str) -> dict[str, Any]:
    """The answer is a problem of this kind with a sentence, and no trace of our code."""
    assert answer.status_code == status, answer.text
    assert answer.content_type == "application/problem+json"
    problem: dict[str, Any] = answer.json
    assert problem["type"] == f"/problems/{slug}"
    assert problem["status"] == status
    assert problem["title"]
    assert problem["detail"]
    assert "Traceback" not in answer.text
    return problem
