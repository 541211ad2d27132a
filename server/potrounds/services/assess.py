"""Assesses planters: records to state to flags to the card in `derived`.

Reading and saving happen under one write lock: a card computed from older records can therefore
never overwrite one computed from newer ones, nor clear its mark of being stale.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import timedelta
from typing import Any

from potrounds.domain.calendar import TownCalendar
from potrounds.domain.fold import PlanterState, fold
from potrounds.domain.planter import Planter
from potrounds.domain.season_lists import SkyDay, with_due_days
from potrounds.flags import apply_decisions, cases_of, raise_flags
from potrounds.services import (
    care,
    outside,
    planter_history,
    push_news,
    round_cards,
    town,
    water,
)
from potrounds.services.cards import Parts, planter_card
from potrounds.services.context import Context
from potrounds.services.moments import day_text
from potrounds.services.water_outlook import TownWater, town_water
from potrounds.services.water_season import read_season
from potrounds.store import derived, log, people, photos, register, weather
from potrounds.store.database import savepoint, write_transaction
from potrounds.store.derived import TOWN

logger = logging.getLogger(__name__)

Progress = Callable[[int, int], None]
ASSESSED_ON = "assessed_on"
#: Cards made in one transaction: long enough to share its reading, short enough to wait for.
AT_ONCE = 8
#: The sky is looked at so far back: a plug out for longer had its second look due long ago. [days]
SKY_DAYS = 60


def assess(ctx: Context, keys: Iterable[str]) -> None:
    """Bring the cards of these planters up to date; the key "town" is the town's own card."""
    wanted = _warm(ctx, keys)
    with write_transaction():
        desk = _Desk(ctx, wanted)
        for key in wanted:
            desk.assess(key)
    push_news.flags_of(ctx, wanted)


def assess_quietly(ctx: Context, keys: Iterable[str]) -> None:
    """The same, some at a time; where an assessment fails the card stays marked stale.

    Nothing that goes wrong here may reach who sent the records: they are stored already.
    """
    wanted = _warm(ctx, keys)
    for start in range(0, len(wanted), AT_ONCE):
        some = wanted[start : start + AT_ONCE]
        try:
            with write_transaction():
                _assess_each(_Desk(ctx, some), some)
        except Exception:
            logger.exception("the assessment of %s failed; the cards are stale", some)
    push_news.flags_of(ctx, wanted)


def _warm(ctx: Context, keys: Iterable[str]) -> list[str]:
    """Replay the town's water before the write lock is taken: a season may take some seconds.

    Gives the keys to assess, each once: with them those whose readings look mixed up with theirs,
    as both cards have to say so.
    """
    wanted = list(dict.fromkeys(keys))
    if all(key == TOWN or key.startswith((derived.ROUND, derived.ERASED)) for key in wanted):
        return wanted
    try:
        calendar = town.calendar()
        known = town_water(read_season(calendar, calendar.local_day(ctx.now())))
        return list(dict.fromkeys([*wanted, *(known.mixed_up_with(wanted) if known else ())]))
    except Exception:
        logger.exception("the water balance failed; cards go without it")
        return wanted


def _assess_each(desk: _Desk, keys: list[str]) -> None:
    for key in keys:
        try:
            with savepoint():
                desk.assess(key)
        except Exception:
            logger.exception("the assessment of %s failed; its card is stale", key)


def assess_stale(ctx: Context) -> int:
    """Make up for assessments that were asked for and not finished; return how many."""
    keys = derived.stale_keys()
    assess_quietly(ctx, keys)
    return len(keys)


def assess_all(ctx: Context, progress: Progress | None = None) -> None:
    """Bring every card up to date: nightly, as days pass without any record."""
    keys = all_keys()
    for start in range(0, len(keys), AT_ONCE):
        assess_quietly(ctx, keys[start : start + AT_ONCE])
        if progress:
            progress(min(start + AT_ONCE, len(keys)), len(keys))
    with write_transaction():
        register.set_setting(ASSESSED_ON, _today(ctx))


def assess_new_day(ctx: Context) -> None:
    """Assess everything once when a new day has begun in the town.

    A town whose nightly command does not run is thus right all the same, from its first pull on.
    """
    if register.setting(ASSESSED_ON) == _today(ctx):
        return
    with write_transaction():
        if register.setting(ASSESSED_ON) != _today(ctx):
            register.set_setting(ASSESSED_ON, _today(ctx))
            derived.mark_stale(all_keys())
    assess_stale(ctx)


def rebuild(ctx: Context, progress: Progress | None = None) -> None:
    """Wipe all that is derived and compute it again; planters that are gone stay told as gone."""
    with write_transaction():
        before = derived.wipe()
        keys = all_keys()
        desk = _Desk(ctx, keys)
        for done, key in enumerate(keys, start=1):
            desk.assess(key)
            if progress:
                progress(done, len(keys))
        for key in before:
            if derived.get(key) is None:
                derived.save(key, None)


def all_keys() -> list[str]:
    """The keys of all cards there should be."""
    gone = [f"{derived.ERASED}{sha}" for sha in photos.erased()]
    return [TOWN, *(one.id for one in register.planters()), *round_cards.keys(), *gone]


def _today(ctx: Context) -> str | None:
    return day_text(town.calendar().local_day(ctx.now()))


class _Desk:
    """What is read once for a whole round of assessments."""

    def __init__(self, ctx: Context, keys: list[str]) -> None:
        self.now = ctx.now()
        self.calendar: TownCalendar = town.calendar()
        self.today = self.calendar.local_day(self.now)
        self.planters = town.planters(self.calendar, self.now, only=keys)
        self.sites = {site.id: site.name for site in register.sites()}
        self.rows = {row.id: row for row in register.planters(keys)}
        self.tags = register.tags(keys)
        self.names = {person.id: person.name for person in people.people()}
        self.histories = planter_history.histories(self.planters, self.names)
        self.rounds = round_cards.RoundCards(self.calendar, self.today)
        since = self.today - timedelta(days=SKY_DAYS)
        self.sky = tuple(
            SkyDay(one.date, one.tmin_c, one.tmax_c, one.rain_mm)
            for one in weather.observed(since, self.today)
        )
        self.water = self._town_water() if self.planters else None
        self.outside = outside.days(self.today)
        if self.water is not None:
            self.water.prepare(list(self.planters))

    def _town_water(self) -> TownWater | None:
        """The water of the town; where it cannot be worked out, the rest of a card still can."""
        try:
            return town_water(read_season(self.calendar, self.today))
        except Exception:
            logger.exception("the water balance failed; cards go without it")
            return None

    def assess(self, key: str) -> None:
        """Compute and keep one card."""
        if key == TOWN:
            derived.save(TOWN, town.card(self.calendar, self.today))
            return
        if round_cards.is_round(key):
            self._assess_round(key)
            return
        if key.startswith(derived.ERASED):
            derived.save(key, {"sha": key.removeprefix(derived.ERASED)})
            return
        planter = self.planters.get(key)
        derived.save(key, None if planter is None else self._card(planter))

    def _assess_round(self, key: str) -> None:
        """A round's card; one that was never told and is none now gets no number."""
        card = self.rounds.card(key)
        if card is not None or derived.get(key) is not None:
            derived.save(key, card)

    def _with_due_days(self, planter: Planter, state: PlanterState) -> PlanterState:
        """The lists with the days their steps fall due on, by freeze and weather."""
        around = (self.calendar, planter.site, self.today, self.sky)
        return replace(
            state,
            winterization=with_due_days(state.winterization, *around),
            start_up=with_due_days(state.start_up, *around),
        )

    def _card(self, planter: Planter) -> dict[str, Any]:
        records = log.records_of(planter.id)
        state = fold(planter, records, self.calendar, up_to=self.now)
        dry = state.drained or state.plug.state in ("out", "missing")
        water_at = None if self.water is None or dry else self.water.at(planter.id)
        cases = cases_of(planter, records, self.calendar, self.now, water_at, self.outside)
        flags = apply_decisions(raise_flags(cases, self.today), state.decisions, self.today)
        state = self._with_due_days(planter, state)
        row = self.rows[planter.id]
        tags = self.tags.get(planter.id, [])
        current = [tag.code for tag in tags if tag.retired_at is None]
        parts = Parts(
            site_name=self.sites[planter.site],
            code=current[-1] if current else None,
            old_codes=tuple(tag.code for tag in tags if tag.retired_at is not None),
            picture=row.picture,
            notes=row.notes,
            photos=photos.states_at(planter.id),
            names=self.names,
            held=log.waiting_at(planter.id),
        )
        cared = care.care_of(cases(self.today))
        card = planter_card(planter, state, flags, self.calendar, self.now, parts, cared)
        of_water = water_at(self.today) if water_at else None
        return {
            **card,
            **care.blocks(cared),
            "water": water.block(planter, of_water, self.calendar),
            "history": self.histories.get(planter.id, []),
        }
