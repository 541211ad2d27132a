"""A list of every planter as a table: each step's state, by whom, when, with what proof."""

from __future__ import annotations

from typing import Any
from zoneinfo import ZoneInfo

from potrounds.domain.step_lists import LISTS
from potrounds.services import town
from potrounds.services.context import Context
from potrounds.services.moments import read_moment
from potrounds.services.refusal import not_found
from potrounds.services.table_file import write_table
from potrounds.store import derived

SETTLED = ("proven", "done")
CARED_FOR = ("in-use", "stored")
HEAD = (
    "site",
    "planter",
    "status",
    "season",
    "state",
    "steps_done",
    "steps",
    "missing",
    "plug",
    "plug_place",
)
SAID = ("state", "by", "when", "proof", "note")


def table(ctx: Context, list_name: str, only_open: bool) -> str:
    """The board as CSV (RFC 4180), all planters or those that are not proven.

    Raises: Refusal 404 for a list there is none of.
    """
    if list_name not in LISTS:
        raise not_found("list")
    zone = ZoneInfo(town.settings()["zone"])
    cards = _cards(list_name, only_open)
    steps = _columns(list_name, cards)
    heads = [f"{title}: {what}" for title in steps.values() for what in SAID]
    return write_table([*HEAD, *heads], (_row(card, list_name, steps, zone) for card in cards))


def _row(card: dict[str, Any], list_name: str, steps: dict[str, str], zone: ZoneInfo) -> list[Any]:
    progress = card["lists"][_key(list_name)]
    done = {step["code"]: step for step in progress["steps"]}
    cells = _head_cells(card, progress)
    for code in steps:
        cells += _step_cells(done.get(code), zone)
    return cells


def _key(list_name: str) -> str:
    return list_name.replace("-", "_")


def _cards(list_name: str, only_open: bool) -> list[dict[str, Any]]:
    cards = [card.content or {} for card in derived.planter_cards()]
    found = [
        card
        for card in cards
        if card["status"] in CARED_FOR
        and not (only_open and card["lists"][_key(list_name)]["state"] in SETTLED)
    ]
    return sorted(found, key=lambda card: (card["site"]["name"], card["name"]))


def _columns(list_name: str, cards: list[dict[str, Any]]) -> dict[str, str]:
    """Every step by code: the list as it stands, then what is only on record."""
    town_card = derived.get(derived.TOWN)
    lists = town_card.content["checklists"] if town_card and town_card.content else []
    now = next((one["steps"] for one in lists if one["list"] == list_name), [])
    columns = {step["code"]: step["title"] for step in now}
    for card in cards:
        for step in card["lists"][_key(list_name)]["steps"]:
            columns.setdefault(step["code"], step["title"])
    return columns


def _head_cells(card: dict[str, Any], progress: dict[str, Any]) -> list[Any]:
    plug = card["state"]["plug"]
    return [
        card["site"]["name"],
        card["name"],
        card["status"],
        progress["season"],
        progress["state"],
        progress["done"],
        progress["of"],
        "; ".join(progress["missing"]),
        plug["state"],
        plug["place"] or _place(progress),
    ]


def _place(progress: dict[str, Any]) -> str | None:
    said = [step["plug_place"] for step in progress["steps"] if step["code"] == "bag-plug"]
    return said[0] if said else None


def _step_cells(step: dict[str, Any] | None, zone: ZoneInfo) -> list[Any]:
    if step is None:
        return [""] * len(SAID)
    at = read_moment(step["at"])
    when = at.astimezone(zone).strftime("%Y-%m-%d %H:%M") if at else ""
    photos = len(step["photos"])
    proof = [f"{photos} photo{'s' * (photos > 1)}"] if photos else []
    proof += [f"with {step['second']}"] if step["second"] else []
    proof += [f"plug: {step['plug_place']}"] if step["plug_place"] else []
    note = "; ".join(word for word in (step["note"], step["said"]) if word)
    return [step["state"], step["by"], when, ", ".join(proof), note]
