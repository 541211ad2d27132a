"""Rules that follow the year: winter drain, spring start-up, and visits in between."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from potrounds.domain.planter import lifting_caution
from potrounds.domain.season_lists import SECOND_LOOK_DAYS
from potrounds.domain.spoken import spoken_celsius, spoken_count, spoken_day, spoken_level
from potrounds.domain.visits import StepMark
from potrounds.flags.registry import Case, Evidence, flag

# How far ahead a forecast freeze counts, and from when it is for today. [days] Common practice,
# no source: forecasts hold about a week, and a crew needs two days.
FORECAST_DAYS = 7
FORECAST_TODAY_DAYS = 2
# How far ahead the site's expected freeze counts. [days] Common practice, no source.
EXPECTED_DAYS = 14

# Water at this mark after draining is water that stands. [share of the reservoir]
STANDING_LEVEL = 0.25

# A start-up that rests this long is forgotten. [days] Common practice, no source.
START_UP_REST_DAYS = 3
# The last step takes this long by itself. [days] Two to four weeks, consumer guides.
ROOTING_DAYS = 28
# So long after spring begins a drained planter may wait. [days] Common practice, no source.
SPRING_WAIT_DAYS = 28

ICE_CAUTION = "Water on paving turns to ice: drain to the gully, off the walking line."


@dataclass(frozen=True)
class _Ground:
    """Why the plug must be out."""

    words: str
    urgent: bool
    low_c: float | None = None


def _freeze_ground(case: Case) -> _Ground | None:
    """The strongest of the grounds: a recorded low, a forecast one, the odds, the site's date."""
    calendar, today = case.calendar, case.today
    fitted = [m.day for m in case.steps if _is_done(m, "start-up", "plug-in")]
    after = max(fitted, default=date.min)  # lows before the plug went in found it out
    recorded = calendar.recorded_freeze(today, after)
    if recorded:
        low = spoken_celsius(recorded.low_c)
        words = f"{low} recorded in the night to {spoken_day(recorded.date)}"
        return _Ground(words, True, recorded.low_c)
    passed = calendar.passed_forecast(today, after)
    if passed:
        low = spoken_celsius(passed.low_c)
        words = f"{low} was forecast for the night to {spoken_day(passed.date)}"
        return _Ground(words, True, passed.low_c)
    coming = calendar.freeze_within(today, FORECAST_DAYS)
    if coming:
        low, urgent = spoken_celsius(coming.low_c), -case.days_since(coming.date)
        words = f"{low} forecast for the night to {spoken_day(coming.date)}"
        return _Ground(words, urgent <= FORECAST_TODAY_DAYS, coming.low_c)
    odds = calendar.odds_freeze(today)
    if odds is not None and today >= odds:
        return _Ground(f"In 1 year of 10 it has frozen here by {spoken_day(odds)}", False)
    expected = calendar.expected_freeze(case.planter.site, today)
    if expected is None or -case.days_since(expected) > EXPECTED_DAYS:
        return None
    due = "is expected about" if expected >= today else "was expected about"
    return _Ground(f"The first freeze {due} {spoken_day(expected)}", False)


def _is_done(mark: StepMark, list_name: str, code: str) -> bool:
    step = mark.step
    return (step.list, step.step, step.outcome) == (list_name, code, "done")


@flag(
    name="Drain plug not pulled",
    urgency="this-week",
    advice="Pull the drain plug and stay until the water runs, then until it stops. Take a photo "
    "or a second person along, and write down where the plug is.",
    caution=ICE_CAUTION,
)
def drain_not_pulled(case: Case) -> Evidence | None:
    """A freeze is recorded, forecast or due by odds or date, and the plug is not known out.

    Source: water freezes at 0 °C (32 °F, a freeze by the US National Weather Service) and grows
    by about 9 %; odds: NOAA Climatography No. 20 Suppl. 1; the days are common practice, no source.
    """
    plug, status = case.state.plug, case.planter.status
    stands_out = status == "in-use" or (status == "stored" and plug.state == "in")
    if not stands_out or not case.calendar.is_cold_half(case.today):
        return None
    pull = case.state.winterization.step("pull-plug")
    settled = pull is not None and pull.state != "todo"
    if settled or case.state.drained or plug.state in ("out", "missing"):
        return None
    ground = _freeze_ground(case)
    if ground is None:
        return None
    if plug.state == "in" and plug.day:
        seen = f"plug seen in by {plug.by or 'someone'} on {spoken_day(plug.day)}"
    else:
        seen = "no record that the plug is out"
    lifting = lifting_caution(case.planter.weight_moist_kg)
    return Evidence(
        f"{ground.words}; {seen}.",
        records=(plug.record,) if plug.record else (),
        numbers={} if ground.low_c is None else {"low_c": ground.low_c},
        urgency="today" if ground.urgent else "this-week",
        caution=f"{ICE_CAUTION} {lifting}" if lifting else None,
    )


@flag(
    name="Drained, unproven",
    urgency="watch",
    advice="Bring what is missing: a photo or a second person at the plug, the plug's place, and "
    "a second look on a later day after rain or thaw.",
    caution=ICE_CAUTION,
)
def drained_unproven(case: Case) -> Evidence | None:
    """The plug is out, but nothing proves that the water left and stayed away.

    Source: common practice, no source.
    """
    winter, plug = case.state.winterization, case.state.plug
    if case.planter.status not in ("in-use", "stored"):
        return None
    pull = winter.step("pull-plug")
    if winter.state == "unproven" and pull is not None:
        days = case.days_since(case.calendar.local_day(pull.at)) if pull.at else 0
        out = f"Plug out for {spoken_count(days, 'day')}"
        if pull.state == "not-needed":
            out = "Plug pull set down as not needed"
        late = pull.state == "unproven" or days > SECOND_LOOK_DAYS
        return Evidence(
            f"{out}; missing: {', '.join(word[0].lower() + word[1:] for word in winter.missing)}.",
            records=tuple(
                step.record for step in winter.steps if step.proof != "none" if step.record
            ),
            numbers={"days": days},
            urgency="this-week" if late else "watch",
        )
    by_check_in = case.state.drained and winter.state in ("not-begun", "under-way")
    if not by_check_in or not plug.day or not case.calendar.is_cold_half(case.today):
        return None
    return Evidence(
        f"Plug seen out by {plug.by or 'someone'} on {spoken_day(plug.day)}, but winter's list "
        "does not say that the water ran.",
        records=(plug.record,) if plug.record else (),
        urgency="this-week",
    )


@flag(
    name="Standing water after draining",
    urgency="this-week",
    advice="Clear the outlet with a soft rod, let it run until it stops, raise the pot so that the "
    "outlet is free, and look again on a later day.",
    caution=ICE_CAUTION,
)
def standing_water(case: Case) -> Evidence | None:
    """Water stood in a drained planter when somebody last looked.

    Source: common practice, no source.
    """
    if case.planter.status not in ("in-use", "stored"):
        return None
    season, pull = case.state.winterization.season, case.state.winterization.step("pull-plug")
    looks = [
        (m.at, m.day, m.by, m.record, "standing water" if m.step.standing_water else "")
        for m in case.steps
        if (m.step.list, m.step.season) == ("winterization", season)
        and m.step.standing_water is not None
    ]
    if case.state.drained and pull is not None and pull.at is not None:
        looks += [
            (v.at, v.day, v.by, v.record, _stands(v.check_in.level))
            for v in case.sure_visits
            if v.at > pull.at and v.check_in.level is not None
        ]
    if not looks:
        return None
    _, day, by, record, stood = max(looks)
    if not stood:
        return None
    return Evidence(
        f"Drained, but {stood} when {by or 'someone'} came on {spoken_day(day)}.",
        records=(record,),
        urgency="today" if _is_freezing(case) else "this-week",
    )


def _stands(level: float | None) -> str:
    """What a reading after draining says about water that stands."""
    if level is None or level < STANDING_LEVEL:
        return ""
    return f"the reservoir read {spoken_level(level)}"


def _is_freezing(case: Case) -> bool:
    """Whether it has frozen this winter, or will within the forecast."""
    coming = case.calendar.freeze_within(case.today, FORECAST_DAYS)
    return bool(coming or case.calendar.recorded_freeze(case.today))


@flag(
    name="Drain plug missing",
    urgency="today",
    advice="Bring a plug with a good washer, fit it, then fill until the overflow runs and look "
    "for drips. Until then water from the top.",
    caution="Water runs out onto the paving: it is slippery.",
)
def plug_missing(case: Case) -> Evidence | None:
    """In season the drain plug was missing, or out, when somebody last looked.

    Source: common practice, no source.
    """
    plug = case.state.plug
    if not case.in_use or case.calendar.is_winter(case.today) or plug.day is None:
        return None
    if plug.state not in ("missing", "out"):
        return None
    return Evidence(
        f"Drain plug {plug.state} when {plug.by or 'someone'} came on {spoken_day(plug.day)}.",
        records=(plug.record,) if plug.record else (),
        urgency="today" if plug.state == "missing" else "this-week",
    )


@flag(
    name="Start-up unfinished",
    urgency="this-week",
    advice="Take up the start-up list at its next step. Water given with the plug out is lost.",
)
def start_up_unfinished(case: Case) -> Evidence | None:
    """Spring's list was begun and rests, or was not begun though the planter is back in use.

    Source: common practice, no source.
    """
    start_up, calendar = case.state.start_up, case.calendar
    if case.planter.status != "in-use" or calendar.is_winter(case.today):
        return None
    if start_up.state == "not-begun":
        return _not_begun(case)
    if start_up.state == "done":
        return None
    last = [m for m in case.steps if (m.step.list, m.step.season) == ("start-up", start_up.season)]
    rooting = start_up.next == "water-from-above" and not start_up.missing
    rest = ROOTING_DAYS if rooting else START_UP_REST_DAYS
    if not last or case.days_since(last[-1].day) <= rest:
        return None
    step = start_up.step(start_up.next or "")
    what = step.title[0].lower() + step.title[1:] if step else "none"
    return Evidence(
        f"Start-up stands at {start_up.done} of {start_up.of} steps since "
        f"{spoken_day(last[-1].day)}; next: {what}.",
        records=(last[-1].record,),
        numbers={"done": start_up.done, "of": start_up.of},
    )


def _not_begun(case: Case) -> Evidence | None:
    """A planter drained last winter, in spring, with no start-up step on record."""
    planting, plug = case.planter.planting, case.state.plug
    if not case.state.drained or case.calendar.is_cold_half(case.today):
        return None
    month, day = case.calendar.spring_from
    spring = date(case.calendar.season_year(case.today), month, day)
    planted = planting is not None and planting.planted_on >= spring
    waited = case.days_since(spring)
    if not planted and waited <= SPRING_WAIT_DAYS:
        return None
    since = (
        f"though planted on {spoken_day(planting.planted_on)}"
        if planting is not None and planted
        else f"{spoken_count(waited, 'day')} into the season"
    )
    return Evidence(
        f"Drained for winter, and start-up not begun, {since}.",
        records=(plug.record,) if plug.record else (),
        numbers={"days": waited},
    )


@flag(
    name="Not visited",
    urgency="this-week",
    advice="Put it on the next round: no news is not good news.",
)
def not_visited(case: Case) -> Evidence | None:
    """Nobody has recorded a visit for longer than the town's interval.

    Source: common practice, no source; the interval is the town's own setting.
    """
    if not case.in_use:
        return None
    interval, last = case.calendar.visit_days, case.state.last_visit
    if last is None:
        planting = case.planter.planting
        known = planting.planted_on if planting else case.planter.installed
        if known is not None and case.days_since(known) <= interval:
            return None
        since = f" since {spoken_day(known)}" if known else ""
        return Evidence(f"No visit on record{since}.", numbers={"interval_days": interval})
    days = case.days_since(last.day)
    if days <= interval:
        return None
    return Evidence(
        f"Not visited for {spoken_count(days, 'day')}; the town looks every "
        f"{spoken_count(interval, 'day')}.",
        records=(last.record,),
        numbers={"days": days, "interval_days": interval},
        urgency="today" if days > 2 * interval else "this-week",
    )
