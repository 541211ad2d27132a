"""The whole demo town is winterized from three phones and started up again in spring.

Two of the phones are without signal while they work. On the screen: every kind of step, at some
planters each. For the other planters the same records are written into the phones' own outboxes
(a person taps each, a test need not) and go by the phones' own sync.
"""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Callable

from desk_helpers import cards, send_all
from field import IDS, all_sent, arrive, eventually, kept, log_texts, news
from phone import LAPTOP, Phone
from playwright.sync_api import expect
from seasons import into_outbox, move_clock, on_screen, step_body
from server_process import TownServer

UNPROVEN = "Market street 6"  # pulled, and nobody can say more
BOTH = "Library yard 5"  # two phones, neither knowing of the other
SPRING = ("inspect", "flush", "moisten", "plug-in", "fill")
REST = ("plant", "water-from-above")


def states(desk: Phone, key: str) -> dict[str, str]:
    """How each planter's list stands, as the phones pull it."""
    return {name: card["lists"][key]["state"] for name, card in cards(desk).items()}


def pull(phone: Phone, planter: str, second: str, place: str) -> None:
    """Pull the plug before a witness and bag it, on the screen."""
    on_screen(
        phone, "winterization", planter, "Pull the drain plug", "Plug out, water ran", second=second
    )
    on_screen(phone, "winterization", planter, "Bag the plug", "Done", place=place)


def open_signed_in(phone: Callable[..., Phone], town: TownServer, name: str) -> Phone:
    """The coordinator at a laptop; a session ends within a day, so each day has its own."""
    desk = phone(name, size=LAPTOP)
    desk.start()
    desk.sign_in(*town.coordinator)
    return desk


def looks(planters: list[str]) -> list[tuple[str, dict[str, object]]]:
    return [
        (name, step_body("winterization", 2026, "second-look", standing_water=False))
        for name in planters
    ]


def drains(planters: list[str]) -> list[tuple[str, dict[str, object]]]:
    done = []
    for name in planters:
        done.append((name, step_body("winterization", 2026, "pull-plug", second="Ruth")))
        done.append((name, step_body("winterization", 2026, "bag-plug", plug_place=f"box {name}")))
    return done


def springs(planters: list[str], codes: tuple[str, ...]) -> list[tuple[str, dict[str, object]]]:
    return [(name, step_body("start-up", 2027, code)) for name in planters for code in codes]


def test_the_town_is_winterized_and_started_up_from_three_phones(
    town: TownServer, phone: Callable[..., Phone]
) -> None:
    wim, adele, odile = phone("wim"), phone("adele"), phone("odile")
    for one, name in ((wim, "Wim"), (adele, "Adele"), (odile, "Odile")):
        arrive(one, town.invite(name), name)
    desk = open_signed_in(phone, town, "october")
    before = log_texts(town)
    begun = states(desk, "winterization")
    left = sorted(name for name, state in begun.items() if state != "proven")
    assert Counter(begun.values()) == {
        "proven": 11,
        "unproven": 4,
        "under-way": 2,
        "not-begun": 7,
    }

    # Adele and Odile lose their signal; all three work on.
    for away in (adele, odile):
        away.context.set_offline(True)  # type: ignore[union-attr]
    pull(wim, BOTH, "Ruth", "box D 5")
    pull(adele, BOTH, "Kofi", "box D 5")
    pull(adele, "Library yard 6", "Kofi", "box D 6")
    on_screen(odile, "winterization", UNPROVEN, "Pull the drain plug", "Plug out, water ran")
    on_screen(odile, "winterization", UNPROVEN, "Bag the plug", "Done", place="box C 6")
    expect(odile.page.get_by_text("not sent").first).to_be_visible()
    done = {BOTH, "Library yard 6", UNPROVEN}
    others = [name for name in left if name not in done]
    into_outbox(adele, *drains(others[:5]))
    into_outbox(odile, *drains(others[5:]))
    all_sent(wim)
    assert log_texts(town)[len(before) :] == [row["text"] for row in kept(wim)], "no word of them"

    for back in (adele, odile):
        back.context.set_offline(False)  # type: ignore[union-attr]
        send_all(back)
        all_sent(back)
    assert "proven" not in {states(desk, "winterization")[name] for name in done}

    # Three days later: the second look, and nobody can witness the one pull any more.
    move_clock(town, 3)
    on_screen(
        wim,
        "winterization",
        BOTH,
        "Second look after rain or thaw",
        "I looked",
        found="None, drained",
    )
    on_screen(
        odile,
        "winterization",
        UNPROVEN,
        "Second look after rain or thaw",
        "I looked",
        found="None, drained",
    )
    into_outbox(adele, *looks([name for name in left if name not in (BOTH, UNPROVEN)]))
    for one in (wim, adele, odile):
        send_all(one)
        all_sent(one)

    desk = open_signed_in(phone, town, "late-october")
    done_now = {"proven": 23, "unproven": 1}
    eventually(lambda: Counter(states(desk, "winterization").values()) == done_now)
    page = desk.open("/winter")
    expect(page.get_by_role("heading", name="1 planter still to prove")).to_be_visible()
    page.get_by_role("button", name="Only what remains").click()
    tile = page.locator("a.tile")
    expect(tile).to_have_count(1)
    expect(tile).to_contain_text(UNPROVEN)
    expect(tile).to_contain_text("A photo or a second person at the plug")
    page.get_by_role("button", name="Plugs").click()
    expect(page.get_by_role("row", name=re.compile(UNPROVEN))).to_contain_text("box C 6")
    table = desk.page.request.get(f"{desk.url}/api/v1/lists/winterization.csv?open=1").text()
    (row,) = csv.DictReader(io.StringIO(table))
    assert (row["planter"], row["state"], row["plug_place"]) == (UNPROVEN, "unproven", "box C 6")

    # The season closes with one drain unproven, and says so.
    page = desk.open("/register?part=seasons")
    expect(page.get_by_text("1 drain unproven")).to_be_visible()
    page.get_by_role("button", name="Close the season…").click()
    page.get_by_role("button", name="Close 2026").click()
    page.get_by_role("link", name="Season 2026").click()
    expect(page.get_by_role("row", name="Drains")).to_contain_text("23 of 24 proven")
    expect(page.get_by_role("row", name=re.compile("^Unproven"))).to_contain_text("1")

    # Winter passes; each phone is opened now and then, as its session would end otherwise.
    for days in (80, 80):
        move_clock(town, days)
        for one in (wim, adele, odile):
            news(one, "/planters")

    page = wim.open("/winter")
    expect(page.get_by_role("heading", name="24 planters still to start")).to_be_visible()
    expect(page.locator("a.tile").filter(has_text=BOTH)).to_contain_text("box D 5")
    adele.context.set_offline(True)  # type: ignore[union-attr]
    page = adele.open(f"/p/{IDS[BOTH]}/start-up")
    expect(page.get_by_text("plug: box D 5")).to_be_visible()
    for title, act in (
        ("Look at shell, wick and port", "Done"),
        ("Flush with the plug out", "Done"),
        ("Re-top and moisten the mix", "Done"),
        ("Plug in, with a good washer", "Done"),
        ("Fill until the overflow runs", "Filled, overflow ran"),
    ):
        on_screen(adele, "start-up", BOTH, title, act)
    everybody = sorted(begun)
    rest = [name for name in everybody if name != BOTH]
    into_outbox(wim, *springs(rest[:12], SPRING))
    into_outbox(odile, *springs(rest[12:], SPRING))
    adele.context.set_offline(False)  # type: ignore[union-attr]
    for one in (wim, adele, odile):
        send_all(one)
        all_sent(one)

    move_clock(town, 2)
    on_screen(adele, "start-up", BOTH, "Look for drips after a day", "I looked", found="None, dry")
    into_outbox(adele, *springs([BOTH], REST))
    into_outbox(wim, *springs(rest[:12], ("no-drips", *REST)))
    into_outbox(odile, *springs(rest[12:], ("no-drips", *REST)))
    for one in (wim, adele, odile):
        send_all(one)
        all_sent(one)

    desk = open_signed_in(phone, town, "april")
    eventually(lambda: Counter(states(desk, "start_up").values()) == {"done": 24})
    found = cards(desk)
    assert {card["state"]["plug"]["state"] for card in found.values()} == {"in"}
    page = desk.open("/winter?list=start-up")
    expect(page.get_by_role("heading", name="0 planters still to start")).to_be_visible()
    page = desk.open("/register?part=seasons&year=2026")
    expect(page.get_by_role("row", name="Drains")).to_contain_text("23 of 24 proven")

    # Nothing lost, nothing twice: what the phones froze is in the log, each text once.
    frozen = [row["text"] for one in (wim, adele, odile) for row in kept(one)]
    stored = log_texts(town)
    assert stored[: len(before)] == before
    assert Counter(stored[len(before) :]) == Counter(frozen)
    assert set(Counter(frozen).values()) == {1}
    twice = [text for text in frozen if IDS[BOTH] in text and '"pull-plug"' in text]
    assert len(twice) == 2, "two phones pulled one plug: both records stand, the step is done once"
