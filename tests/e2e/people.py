"""The people of the walk through all screens: nobody, a volunteer, one without signal, the desk."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any

from field import eventually, setting
from phone import LAPTOP, Phone
from pictures import camera_film
from PIL import Image
from playwright.sync_api import ConsoleMessage, Page, Playwright, expect
from server_process import TownServer


@dataclass
class Role:
    """One profile, and everything its console complained about."""

    phone: Phone
    complaints: list[str] = field(default_factory=list)

    def listen(self) -> Page:
        """Start the browser and write down errors from here on."""
        still = camera_film(Image.new("RGB", (640, 480), (96, 110, 98)), self.film)
        page = self.phone.start(camera=still)
        page.on("console", self.hear)
        page.on("pageerror", lambda error: self.complaints.append(str(error)))
        return page

    @property
    def film(self) -> Path:
        """What the camera sees: a wall without a tag, so the scanner goes on looking."""
        return self.phone.profile.with_suffix(".mjpeg")

    def hear(self, message: ConsoleMessage) -> None:
        """Keep errors and broken policies; warnings of the browser itself are not ours."""
        if message.type == "error" or "Content Security Policy" in message.text:
            self.complaints.append(message.text)


@dataclass
class World:
    """One town, one profile a role, made when first needed."""

    playwright: Playwright
    town: TownServer
    folder: Path
    made: list[Role] = field(default_factory=list)

    def role(self, name: str, size: dict[str, int] | None = None) -> Role:
        """A profile of its own."""
        phone = Phone(self.playwright, self.folder / name, self.town.url)
        phone.size = size or phone.size
        one = Role(phone)
        one.listen()
        self.made.append(one)
        return one

    @cached_property
    def nobody(self) -> Role:
        """Somebody who never joined."""
        return self.role("nobody")

    @cached_property
    def volunteer(self) -> Role:
        """A volunteer with signal and nothing to send."""
        one = self.role("volunteer")
        one.phone.join(self.town.invite("Wim"), "Wim")
        self.here(one)
        return one

    @cached_property
    def american(self) -> Role:
        """A volunteer who counts in gallons and degrees Fahrenheit."""
        one = self.role("american")
        one.phone.join(self.town.invite("June"), "June")
        self.here(one)
        one.phone.open("/settings").get_by_role("radio", name="Gallons").click()
        eventually(lambda: setting(one.phone, "units") == "us")
        return one

    @cached_property
    def far(self) -> Role:
        """A volunteer without signal who has just saved a visit."""
        one = self.role("far")
        page = one.phone.join(self.town.invite("Adele"), "Adele")
        self.here(one)
        one.phone.context.set_offline(True)  # type: ignore[union-attr]
        one.phone.open(f"/p/{self.with_flag('today')['id']}/check-in")
        page.get_by_role("radio", name="Half").first.click()
        page.get_by_role("radio", name="4 good").click()
        page.get_by_role("button", name="Save").click()
        expect(page.get_by_role("heading", name="Saved on this phone")).to_be_visible()
        return one

    @cached_property
    def desk(self) -> Role:
        """The coordinator."""
        one = self.role("desk", LAPTOP)
        one.phone.sign_in(*self.town.coordinator)
        self.here(one)
        return one

    def here(self, one: Role) -> None:
        """Wait until the planters are on this phone."""
        page = one.phone.open("/planters")
        expect(page.get_by_role("link", name=re.compile("Market street")).first).to_be_visible()

    @cached_property
    def cards(self) -> list[dict[str, Any]]:
        """All planter cards as a phone gets them."""
        asked = self.volunteer.phone.page.request.get(f"{self.town.url}/api/v1/sync/pull?limit=200")
        items = asked.json()["items"]
        return [item["planter"] for item in items if item["what"] == "planter"]

    def with_flag(self, urgency: str) -> dict[str, Any]:
        """The first planter in use whose standing flags include this urgency."""
        return next(
            card
            for card in self.cards
            if card["status"] == "in-use"
            and any(flag["urgency"] == urgency and not flag["quiet"] for flag in card["flags"])
        )

    def running_dry(self) -> dict[str, Any]:
        """The first planter found empty with no water given since."""
        return next(
            card
            for card in self.cards
            if any(
                flag["code"] == "running_dry" and flag["urgency"] == "today"
                for flag in card["flags"]
            )
        )

    def newly_planted(self) -> dict[str, Any]:
        """A planter whose roots are not down yet."""
        return next(card for card in self.cards if card["establishment"])

    def named(self, name: str) -> dict[str, Any]:
        """The planter of this name."""
        return next(card for card in self.cards if card["name"] == name)

    def quiet(self) -> dict[str, Any]:
        """A planter in use without any flag that stands, not drained yet if there is one."""
        still = [card for card in self.cards if all(flag["quiet"] for flag in card["flags"])]
        return min(still, key=lambda card: card["lists"]["winterization"]["state"] == "proven")

    def drained(self, state: str = "proven") -> dict[str, Any]:
        """The last planter whose winterization stands at `state`."""
        return [one for one in self.cards if one["lists"]["winterization"]["state"] == state][-1]
