"""Alerts: turned on by two people, shown by the worker, opened by a tap, gone with the session.

No push service of the open internet is asked here: only `PushManager` is stood in for. The push
itself is delivered to the real worker through the browser's debugging protocol; encryption and
delivery are tested in tests/services/test_push*.py.
"""

from __future__ import annotations

import json
import sqlite3
import time
from collections.abc import Callable
from contextlib import closing
from typing import Any

from field import IDS, arrive, eventually, news, setting
from phone import LAPTOP, Phone
from playwright.sync_api import Page, expect
from server_process import TownServer

# Keys of a subscription: RFC 8291, appendix A.
P256DH = "BCVxsr7N_eNgVRqvHtD0zTZsEc6-VV-JvLexhqUzORcxaOzi6-AYWXvTBHm4bjyPjs7Vd8pZGH6SRpkNtoIAiw4"
AUTH = "BTBZMqHH6r4Tts7J_aSIgg"
# A browser's push service that gives an address at once.
STAND_IN = """(p256dh, auth) => {
  let there = null;
  const keys = { p256dh, auth };
  PushManager.prototype.getSubscription = async () => there;
  PushManager.prototype.subscribe = async (options) => {
    const key = options.applicationServerKey.replaceAll('-', '+').replaceAll('_', '/');
    const bytes = Uint8Array.from(atob(key), (sign) => sign.charCodeAt(0));
    there = {
      options: { applicationServerKey: bytes.buffer },
      toJSON: () => ({ endpoint: 'https://push.example.net/wim', keys }),
      unsubscribe: async () => { there = null; window.unsubscribed = true; return true; },
    };
    return there;
  };
}"""
SHOWN = """async () => {
  const registration = await navigator.serviceWorker.ready;
  const shown = await registration.getNotifications();
  return shown.map((one) => ({title: one.title, body: one.body, tag: one.tag}));
}"""
# A tap as the worker gets it. Events made by script may not wait, so their wait is kept here.
TAP = """async () => {
  const [notification] = await self.registration.getNotifications();
  const event = new NotificationEvent('notificationclick', { notification });
  let done = null;
  Object.defineProperty(event, 'waitUntil', { value: (promise) => { done = promise; } });
  self.dispatchEvent(event);
  await done;
}"""


def addresses(town: TownServer) -> list[str]:
    """Where the server would send pushes."""
    address = f"file:{town.home}/town/potrounds.sqlite?mode=ro"
    with closing(sqlite3.connect(address, uri=True)) as db:
        return [endpoint for (endpoint,) in db.execute("SELECT endpoint FROM push_address")]


def turn_on_in_the_town(desk: Phone, town: TownServer) -> None:
    """The coordinator first learns what is missing; the operator makes the key."""
    desk.start()
    desk.sign_in(*town.coordinator)
    page = desk.open("/register?part=town")
    page.get_by_role("radio", name="May be turned on").click()
    keep = page.get_by_role("button", name="Keep")
    keep.click()
    expect(page.get_by_role("alert")).to_contain_text("potrounds push-key")
    assert "push-key.pem" in town.run("push-key")
    keep.click()
    expect(page.get_by_text("Kept, with your name")).to_be_visible()


def block(phone: Phone) -> None:
    """The person once said no to the browser: what is not granted beside another is denied."""
    assert phone.context is not None
    phone.context.grant_permissions(["camera"], origin=phone.url)


def turn_on_here(phone: Phone) -> Page:
    """The person presses the one button, and the browser lets it."""
    assert phone.context is not None
    phone.context.clear_permissions()
    phone.context.grant_permissions(["notifications"], origin=phone.url)
    phone.context.add_init_script(f"({STAND_IN})('{P256DH}', '{AUTH}')")
    page = phone.open("/settings")
    page.get_by_role("button", name="Turn on alerts").click()
    expect(page.get_by_text("Alerts are on.")).to_be_visible()
    return page


def push(phone: Phone, page: Page, data: str) -> list[dict[str, str]]:
    """Deliver a push to this phone's worker, as its push service would after decrypting; gives
    what is shown then."""
    assert phone.context is not None
    protocol = phone.context.new_cdp_session(page)
    found: list[dict[str, Any]] = []
    protocol.on(
        "ServiceWorker.workerRegistrationUpdated",
        lambda told: found.extend(told["registrations"]),
    )
    protocol.send("ServiceWorker.enable")
    while not found:
        page.wait_for_timeout(20)  # lets the protocol's events in
    ident = found[0]["registrationId"]
    message = {"origin": phone.url, "registrationId": ident, "data": data}
    shown: list[dict[str, str]] = []
    for _ in range(4):  # the protocol loses a message for a worker that is only just stopping
        protocol.send("ServiceWorker.deliverPushMessage", message)
        until = time.monotonic() + 10
        while not shown and time.monotonic() < until:
            page.wait_for_timeout(50)
            shown = page.evaluate(SHOWN)
        if shown:
            break
    assert shown, "nothing was shown"
    protocol.detach()  # not before: the worker may only just be starting
    return shown


def tap(phone: Phone) -> None:
    """Tap what is shown."""
    assert phone.context is not None
    while not phone.context.service_workers:
        phone.page.wait_for_timeout(20)  # lets the browser's events in
    phone.context.service_workers[0].evaluate(TAP)


def test_from_off_to_an_opened_planter_and_gone_at_sign_out(
    town: TownServer, phone: Callable[..., Phone]
) -> None:
    wim, desk = phone("wim"), phone("desk", size=LAPTOP)
    page = arrive(wim, town.invite("Wim"), "Wim")
    wim.open("/settings")
    expect(page.get_by_text("The town has alerts turned off.")).to_be_visible()
    expect(page.get_by_role("button", name="Turn on alerts")).to_have_count(0)

    turn_on_in_the_town(desk, town)
    news(wim, "/settings")
    expect(page.get_by_text("Alerts are off.")).to_be_visible()
    block(wim)
    wim.open("/settings")
    expect(page.get_by_text("This browser blocks alerts from Potrounds.")).to_be_visible()
    assert addresses(town) == []

    page = turn_on_here(wim)
    assert addresses(town) == ["https://push.example.net/wim"]
    assert setting(wim, "push_for")

    planter = IDS["Ferry landing 1"]
    said = {"title": "Ferry landing 1: Path blocked", "body": "Move it.", "path": f"/p/{planter}"}
    shown = push(wim, page, json.dumps({**said, "tag": "flag x"}))
    assert shown == [{"title": said["title"], "body": "Move it.", "tag": "flag x"}]
    tap(wim)
    expect(page.get_by_role("heading", name="Ferry landing 1", level=1)).to_be_visible()
    assert page.url.endswith(f"/p/{planter}")
    eventually(lambda: page.evaluate(SHOWN) == [])

    wim.open("/settings")
    expect(page.get_by_text("Alerts are on.")).to_be_visible()
    page.get_by_role("button", name="Sign out").click()
    expect(page.get_by_role("heading", name="Settings")).to_have_count(0)
    eventually(lambda: addresses(town) == [])
    assert not setting(wim, "push_for")


def test_turned_off_at_the_phone_the_server_forgets_the_address(
    town: TownServer, phone: Callable[..., Phone]
) -> None:
    wim, desk = phone("wim"), phone("desk", size=LAPTOP)
    turn_on_in_the_town(desk, town)
    arrive(wim, town.invite("Wim"), "Wim")
    page = turn_on_here(wim)
    assert addresses(town) == ["https://push.example.net/wim"]
    page.get_by_role("button", name="Turn off alerts").click()
    expect(page.get_by_text("Alerts are off.")).to_be_visible()
    page.wait_for_function("window.unsubscribed")
    eventually(lambda: addresses(town) == [])


def test_a_push_that_is_none_of_ours_is_shown_plainly_and_leads_into_the_app(
    town: TownServer, phone: Callable[..., Phone]
) -> None:
    wim = phone("wim")
    page = arrive(wim, town.invite("Wim"), "Wim")
    wim.context.grant_permissions(["notifications"], origin=wim.url)  # type: ignore[union-attr]
    wim.open("/outbox")
    [shown] = push(wim, page, '{"title": 7, "path": "//elsewhere.example/"}')
    assert shown["title"] == "Potrounds"
    tap(wim)
    expect(page).to_have_url(f"{wim.url}/")


def test_a_browser_without_push_says_so(town: TownServer, phone: Callable[..., Phone]) -> None:
    wim = phone("wim")
    page = arrive(wim, town.invite("Wim"), "Wim")
    wim.context.add_init_script("delete window.PushManager")  # type: ignore[union-attr]
    wim.open("/settings")
    expect(page.get_by_text("This browser cannot show alerts.")).to_be_visible()
