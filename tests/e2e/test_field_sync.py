"""What a phone keeps and sends when the line, the server or its membership fails."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from field import (
    IDS,
    all_sent,
    arrive,
    back_in_signal,
    check_in,
    eventually,
    held_count,
    kept,
    log_texts,
    newest,
    open_check_in,
    quiet,
    save,
    send_now,
    setting,
    still_waiting,
)
from phone import Phone
from playwright.sync_api import Playwright, expect
from server_process import TownServer
from wire import STRANGE, Portal, Wire

FIRST, SECOND = "Market street 4", "Library yard 3"
THIRD, FOURTH = "Station forecourt 5", "Station forecourt 6"
#: Nothing that is put off for a second or more happens any more.
NO_TIMERS = """(() => {
  const real = window.setTimeout;
  window.setTimeout = (work, ms, ...more) => (ms >= 1000 ? 0 : real(work, ms, ...more));
})()"""
HELD_IN_DEMO = 1  # demo_data: the check-in at a planter the register does not know


@pytest.fixture
def volunteer(town: TownServer, phone: Callable[..., Phone]) -> Phone:
    """A volunteer's phone with all planters."""
    one = phone("field")
    arrive(one, town.invite("Wim"), "Wim")
    return one


@pytest.fixture
def wire(town: TownServer) -> Iterator[Wire]:
    """A line to the town that can be cut."""
    one = Wire(town.port)
    yield one
    one.shut()


def once_each(town: TownServer, phone: Phone) -> None:
    """Every record of this phone is in the log exactly once, byte for byte, and none is held."""
    log = log_texts(town)
    for row in kept(phone):
        assert log.count(row["text"]) == 1
    ids = [json.loads(text)["id"] for text in log]
    assert len(ids) == len(set(ids))
    assert held_count(town) == HELD_IN_DEMO


@pytest.mark.parametrize("moment", ["on_request", "on_answer"])
def test_a_server_that_dies_while_it_is_asked_gets_every_record_once(
    town: TownServer, wire: Wire, phone: Callable[..., Phone], moment: str
) -> None:
    """on_request: before it has read the batch. on_answer: after its commit, before we know."""
    volunteer = phone("field")
    volunteer.url = f"http://localhost:{wire.port}"
    link = town.invite("Wim").replace(town.url, volunteer.url)
    arrive(volunteer, link, "Wim")
    before = len(log_texts(town))
    setattr(wire, moment, town.stop)
    check_in(volunteer, FIRST, "Quarter", "4 good")
    eventually(lambda: wire.cuts == 1)
    quiet(volunteer)
    still_waiting(volunteer)  # no answer is no receipt
    there = log_texts(town).count(newest(volunteer)["text"])
    assert there == (1 if moment == "on_answer" else 0)
    check_in(volunteer, SECOND, "Half", "5 thriving")
    expect(volunteer.page.get_by_role("heading", name="Saved on this phone")).to_be_visible()

    town.start("serve")
    back_in_signal(volunteer)
    all_sent(volunteer)
    once_each(town, volunteer)
    assert len(log_texts(town)) == before + 2
    if moment == "on_answer":
        # Only here is it sure: opening another page may cut a later talk as well.
        assert kept(volunteer)[0]["outcome"] == "duplicate"


def test_two_tabs_of_one_phone_send_every_record_once(town: TownServer, volunteer: Phone) -> None:
    one, other = volunteer.page, volunteer.context.new_page()  # type: ignore[union-attr]
    town.stop()
    for tab, planter in ((one, FIRST), (other, SECOND)):
        open_check_in(volunteer, planter, tab)
        tab.get_by_role("radio", name="Half", exact=True).click()
    for tab in (one, other):
        save(tab)
    assert sorted(row["planter"] for row in kept(volunteer)) == sorted((IDS[FIRST], IDS[SECOND]))
    volunteer.context.add_init_script(NO_TIMERS)  # type: ignore[union-attr]
    for tab, planter in ((one, THIRD), (other, FOURTH)):
        open_check_in(volunteer, planter, tab)  # both have a form open when the signal is back
        tab.get_by_role("radio", name="4 good").click()
    town.start("serve")
    for tab in (one, other):
        tab.get_by_role("button", name="Save").click(no_wait_after=True)
    for tab in (one, other):
        # The tab that finds the other one talking is next in line: it has no timer to wait for.
        expect(tab.get_by_role("heading", name="Sent and confirmed")).to_be_visible()
    quiet(volunteer)
    rows = kept(volunteer)
    assert [row["n"] for row in rows] == [1, 2, 3, 4], "one counter for both tabs"
    assert [(row["state"], row["outcome"]) for row in rows] == [("sent", "stored")] * 4
    once_each(town, volunteer)


def test_a_guest_networks_login_page_is_never_taken_for_an_answer(
    town: TownServer, volunteer: Phone
) -> None:
    town.stop()
    portal = Portal(town.port)
    try:
        check_in(volunteer, FIRST, "Quarter", "4 good")
        page = volunteer.open("/outbox")
        expect(page.get_by_role("heading", name="Waiting to send").first).to_be_visible()
        for portal.answer in STRANGE:
            send_now(volunteer)
            eventually(lambda: portal.answer in portal.given)
            quiet(volunteer)
            still_waiting(volunteer)  # this was no answer
            assert setting(volunteer, "me")["person"]["name"] == "Wim", "still a member"
        expect(page.get_by_text(re.compile("All sent|Join again"))).to_have_count(0)
        expect(page.get_by_text("1 waiting")).to_be_visible()
        page.reload()
        expect(page.get_by_text("1 waiting")).to_be_visible()
        check_in(volunteer, SECOND, "Half", "4 good")
    finally:
        portal.shut()
    still_waiting(volunteer, 2)
    town.start("serve")
    back_in_signal(volunteer)
    all_sent(volunteer)
    once_each(town, volunteer)


@pytest.fixture
def desk(town: TownServer, playwright: Playwright) -> Iterator[Callable[..., Any]]:
    """The coordinator's laptop, as plain requests: desk(method, path, body) gives the answer."""
    asking = playwright.request.new_context(
        base_url=f"{town.url}/api/v1/", extra_http_headers={"Origin": town.url}
    )
    name, password = town.coordinator
    device = "00000000-0000-4000-8000-00000000de5c"

    def ask(method: str, path: str, body: dict[str, Any] | None = None) -> Any:
        answer = asking.fetch(path, method=method, data=body)
        assert answer.ok, answer.text()
        return answer.json() if answer.body() else None

    ask("POST", "sign-in", {"name": name, "password": password, "device": device})
    yield ask
    asking.dispose()


def test_a_burned_phone_keeps_its_records_and_goes_on_until_it_is_joined_again(
    town: TownServer, volunteer: Phone, desk: Callable[..., Any]
) -> None:
    me = setting(volunteer, "me")["person"]["id"]
    before = len(log_texts(town))
    mine = next(one for one in desk("GET", "register")["phones"] if one["person"] == me)
    desk("POST", f"register/phones/{mine['id']}/burn", {})

    check_in(volunteer, FIRST, "Quarter", "4 good")
    expect(volunteer.page.get_by_text("Join again to send")).to_be_visible()
    check_in(volunteer, SECOND, "Empty", "3 stressed")
    page = volunteer.open("/outbox")
    expect(
        page.get_by_text("Join again to send 2 records. You can go on recording.")
    ).to_be_visible()
    quiet(volunteer)
    still_waiting(volunteer, 2)
    assert len(log_texts(town)) == before, "a burned phone sends nothing"

    invite = desk("POST", "register/invites", {"role": "volunteer", "name": "x", "for_person": me})
    page.get_by_role("link", name="Join again").last.click()
    page.get_by_label("Invite link").fill(invite["url"])
    expect(page.get_by_label("Your name")).to_have_value("Wim")
    page.get_by_role("button", name="Join", exact=True).click()
    expect(page.get_by_text("Welcome, Wim")).to_be_visible()
    volunteer.open("/outbox")
    all_sent(volunteer)
    once_each(town, volunteer)


# A record as a broken app might have written it, laid into the phone's store beside a good one.
LAY_IN_A_BAD_RECORD = """async () => {
  const db = await new Promise((done) => {
    const ask = indexedDB.open('potrounds');
    ask.onsuccess = () => done(ask.result);
  });
  const tx = db.transaction('outbox', 'readwrite');
  const outbox = tx.objectStore('outbox');
  const [good] = await new Promise((done) => {
    const ask = outbox.getAll();
    ask.onsuccess = () => done(ask.result);
  });
  const id = good.id.replace(/.$/, (last) => last === '0' ? '1' : '0');
  const body = {...good.body, level: 0.3};
  const text = JSON.stringify({...JSON.parse(good.text), id, body});
  outbox.put({...good, id, body, text});
  await new Promise((done) => { tx.oncomplete = done; });
  db.close();
  return text;
}"""


def test_a_refused_record_stays_with_its_reason_and_can_be_saved_to_a_file(
    town: TownServer, volunteer: Phone
) -> None:
    town.stop()
    good = check_in(volunteer, FIRST, "Quarter", "4 good")
    bad = volunteer.page.evaluate(LAY_IN_A_BAD_RECORD)
    town.start("serve")
    page = back_in_signal(volunteer)
    expect(page.get_by_role("heading", name="Needs you")).to_be_visible(timeout=30_000)
    case = page.locator("section").filter(has_text="Needs you")
    expect(case).to_contain_text(FIRST)
    reason = next(row["problem"] for row in kept(volunteer) if row["text"] == bad)
    assert reason["errors"][0]["pointer"] == "/body/level"
    expect(case).to_contain_text(reason["title"])
    expect(case).to_contain_text(reason["errors"][0]["detail"])

    with page.expect_download() as saving:
        case.get_by_role("button", name="Save to file").click()
    file = json.loads(Path(saving.value.path()).read_text())
    assert [one["text"] for one in file["records"]] == [bad]

    volunteer.shut()
    page = volunteer.start()
    volunteer.open("/")
    expect(page.get_by_role("link", name="1 needs you").first).to_be_visible()
    rows = {row["id"]: row["state"] for row in kept(volunteer)}
    assert rows == {good: "sent", json.loads(bad)["id"]: "needs-attention"}
    log = log_texts(town)
    assert bad not in log
    assert [json.loads(text)["id"] for text in log].count(good) == 1, "one bad item stops no other"


def test_the_browsers_bell_sends_what_waits_with_no_page_open(
    town: TownServer, volunteer: Phone
) -> None:
    context = volunteer.context
    assert context is not None
    town.stop()
    check_in(volunteer, FIRST, "Quarter", "4 good")
    text = newest(volunteer)["text"]
    talk = context.new_cdp_session(volunteer.page)
    found: list[str] = []
    talk.on(
        "ServiceWorker.workerRegistrationUpdated",
        lambda told: found.extend(
            one["registrationId"] for one in told["registrations"] if not one["isDeleted"]
        ),
    )
    talk.send("ServiceWorker.enable")
    while not found:
        volunteer.page.wait_for_timeout(20)  # lets the protocol's events in
    quiet(volunteer)
    volunteer.page.goto("about:blank")
    town.start("serve")
    assert text not in log_texts(town)
    ring = {"origin": town.url, "registrationId": found[0], "tag": "outbox", "lastChance": False}
    talk.send("ServiceWorker.dispatchSyncEvent", ring)
    eventually(lambda: log_texts(town).count(text) == 1)
    volunteer.open("/outbox")
    all_sent(volunteer)
    assert log_texts(town).count(text) == 1
