"""A freeze that is forecast while drain plugs are in is told at once: by mail, and by push.

Once for each freeze, whatever the forecasts of the next days make of it: nights that freeze with
at most one mild night between them are one freeze. It is told again only where it comes sooner
than was told, for then the plugs have to come out sooner.
"""

from __future__ import annotations

import logging
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from potrounds.domain.calendar import FREEZE_C
from potrounds.domain.spoken import spoken_celsius, spoken_day
from potrounds.services import digest, push_news, town, weather_record
from potrounds.services.context import Context
from potrounds.services.digest import Letter, Line
from potrounds.services.moments import day_text
from potrounds.store import register
from potrounds.store.database import write_transaction
from potrounds.words import t

logger = logging.getLogger(__name__)

#: What of the freeze last told is kept, for each way of telling.
BY_MAIL, BY_PUSH = "freeze_sent", "freeze_pushed"
#: Nights from one that freezes to the next of the same freeze. Common practice, no source.
SAME_FREEZE = timedelta(days=2)


@dataclass(frozen=True)
class Spell:
    """Nights that freeze, from the first to the last known, and the low of the first."""

    first: date
    last: date
    low_c: float

    def is_news(self, told: tuple[date, date] | None) -> bool:
        """Whether this is another freeze than the one told, or comes sooner than told."""
        return told is None or self.first < told[0] or self.first > told[1] + SAME_FREEZE


def warn(ctx: Context) -> str:
    """Tell a freeze within the town's horizon, once and only if plugs are in.

    Never raises: what a coordinator just typed is kept whatever the mail server does.
    Returns: what became of the mail, as in `digest`.
    """
    try:
        spell = coming_freeze(town.calendar().local_day(ctx.now()))
        plugs_in = _plugs_in() if spell else []
        if spell is None or not plugs_in:
            return digest.NOTHING
        if town.settings()["push_on"] and _claim(BY_PUSH, spell):
            names = {card["id"]: str(card["name"]) for card in plugs_in}
            push_news.freeze(ctx, spell.first, spell.low_c, names)
        before = register.setting(BY_MAIL)
        return digest.post(
            ctx,
            _letter(spell, plugs_in),
            lambda: _claim(BY_MAIL, spell),
            lambda: _put_back(BY_MAIL, before),
        )
    except Exception:
        logger.exception("the freeze warning failed")
        return digest.FAILED


def coming_freeze(today: date) -> Spell | None:
    """The next nights that freeze, by typed lows or by the forecast service; None where the first
    lies beyond the town's horizon."""
    lows: dict[date, float] = {}
    typed = [
        (night.date, night.low_c)
        for night in town.calendar().nights
        if night.kind == "forecast" and night.known_by(today)
    ]
    served = [(row.date, row.tmin_c) for row in weather_record.latest_forecast(today)]
    for day, low_c in typed + served:
        if day >= today and low_c <= FREEZE_C:
            lows[day] = min(low_c, lows.get(day, low_c))
    if not lows or (min(lows) - today).days > town.settings()["freeze_nights"]:
        return None
    first = last = min(lows)
    for day in sorted(lows):
        if day - last <= SAME_FREEZE:
            last = day
    return Spell(first, last, lows[first])


def _claim(name: str, spell: Spell) -> bool:
    """Whether this freeze is to be told now; what was told grows with the forecast."""
    with write_transaction():
        told = _told(register.setting(name))
        if spell.is_news(told):
            register.set_setting(name, {"first": day_text(spell.first), "last": _later(spell)})
            return True
        if told and spell.last > told[1]:
            register.set_setting(name, {"first": day_text(told[0]), "last": _later(spell)})
        return False


def _later(spell: Spell) -> str | None:
    return day_text(spell.last)


def _put_back(name: str, before: Any) -> None:
    with write_transaction():
        register.set_setting(name, before)


def _told(kept: Any) -> tuple[date, date] | None:
    """What was told: two days, or one by a release that kept only the first night."""
    if isinstance(kept, str):
        return date.fromisoformat(kept), date.fromisoformat(kept)
    if not isinstance(kept, Mapping):
        return None
    return date.fromisoformat(kept["first"]), date.fromisoformat(kept["last"])


def _plugs_in() -> list[dict[str, Any]]:
    """Cards of planters that may hold water, by site and name."""
    return [
        card
        for card in sorted(digest.cards(), key=lambda card: (card["site"]["name"], card["name"]))
        if card["status"] == "in-use" and card["state"]["plug"]["state"] not in ("out", "missing")
    ]


def _letter(spell: Spell, plugs_in: list[dict[str, Any]]) -> Letter:
    lines = tuple(
        Line(
            card["site"]["name"],
            card["name"],
            t("mail.drain_in"),
            "",
            "",
            f"/p/{card['id']}/winter",
        )
        for card in plugs_in
    )
    values = {
        "town": " ".join(str(town.settings()["town_name"]).split()),
        "day": spoken_day(spell.first),
        "low": spoken_celsius(spell.low_c),
        "count": len(lines),
    }
    return Letter(
        t("mail.freeze_subject", **values),
        t("mail.freeze_opening", **values),
        ((t("mail.freeze_head"), lines),),
    )
