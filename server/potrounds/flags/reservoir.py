"""Rules one finds at the fill port: level, litres and overflow."""

from __future__ import annotations

from potrounds.domain.spoken import spoken_day, spoken_level, spoken_litres
from potrounds.domain.visits import Visit
from potrounds.flags.looking import (
    freeze_caution,
    newest,
    sign_in_last_look,
    water_since,
    when_came,
)
from potrounds.flags.registry import Case, Evidence, flag
from potrounds.science.reservoir import top_up_range, uptake_share

# At or below this mark a planter is running dry. [share of the reservoir] Common practice, no
# source: a quarter lasts a day or two in heat.
LOW_LEVEL = 0.25

# Fills looked back on, and how many of them count as a habit. Common practice, no source.
FILLS_BACK = 4
FILLS_OVER = 3
# At most this much taken up since the last fill is little. [share] Common practice, no source.
LITTLE_UPTAKE = 0.25

# Hose timers and marked cans measure no better than this. [factor] Common practice, no source.
MEASURE_SLACK = 1.15

# Two readings each known to half a mark of a quarter can differ by a quarter with nothing
# changed; from half upwards they cannot. [share] Follows from top_up_range.
SURE_RISE = 0.5
# With the plug out a reservoir cannot stand this high. [share] Common practice, no source.
HELD_LEVEL = 0.5

HOSE_CAUTION = (
    "Never leave the hose end in the fill port: keep an air gap, and a vacuum breaker at the tap. "
    "Local plumbing code decides."
)
WET_CAUTION = "Wet paving is slippery: lead the overflow off the walking line."


@flag(
    name="Running dry",
    urgency="this-week",
    advice="Top up until the overflow runs. If the mix is dry too, first water slowly from the "
    "top: a wick does not start again in dry mix.",
    caution=HOSE_CAUTION,
)
def running_dry(case: Case) -> Evidence | None:
    """The reservoir was last read empty, or at a quarter, and has had no water since.

    Source: common practice, no source.
    """
    level = case.state.level
    if not case.in_use or case.closing or level is None or level.value > LOW_LEVEL:
        return None
    if any(water_since(case, level.at)):
        return None
    empty = level.value == 0
    found = "Empty" if empty else f"Down to {spoken_level(level.value)}"
    return Evidence(
        f"{found} {when_came(level)}, and no water given since.",
        records=(level.record,),
        numbers={"level": level.value, "days": case.days_since(level.day)},
        urgency="today" if empty else "this-week",
        caution=freeze_caution(case),
    )


@flag(
    name="Overflow wet on arrival",
    urgency="watch",
    advice="Do not add water. After rain it may be no more than that; if not, feel the mix and "
    "bring less next time. Look whether the overflow is free.",
    caution=WET_CAUTION,
)
def overflow_on_arrival(case: Case) -> Evidence | None:
    """The overflow was running or wet before anyone watered; twice in a row it is no accident.

    Source: common practice, no source.
    """
    if not case.in_use:
        return None
    wet: list[Visit] = []
    for visit in reversed(case.sure_visits):
        check_in = visit.check_in
        if check_in.overflow == "wet-on-arrival":
            wet.append(visit)
        elif check_in.overflow != "not-looked" or (
            check_in.level is not None and check_in.level < 1
        ):
            break  # looked at and not wet, or a reading that says the water went down
    if not wet:
        return None
    again = len(wet) > 1
    sentence = f"Overflow wet {when_came(wet[0])}, before any water was given"
    if again:
        sentence += f"; so it was at the last {len(wet)} visits that looked"
    return Evidence(
        f"{sentence}.",
        records=tuple(visit.record for visit in wet),
        numbers={"visits": len(wet)},
        urgency="this-week" if again else "watch",
    )


@flag(
    name="More water than it needs",
    urgency="watch",
    advice="Bring less, or come less often: stop at the first run of the overflow.",
    caution=WET_CAUTION,
)
def overfilled_each_visit(case: Case) -> Evidence | None:
    """The overflow ran at most of the last fills though little had been taken up.

    Source: common practice, no source.
    """
    if not case.in_use:
        return None
    capacity_l = case.planter.reservoir_l
    fills = [visit for visit in case.sure_visits if visit.water_given][-FILLS_BACK:]
    over = [
        (visit.record, litres_l)
        for visit in fills
        if visit.ran_over
        and (litres_l := visit.check_in.litres_l) is not None
        and uptake_share(litres_l, capacity_l) <= LITTLE_UPTAKE
    ]
    if len(over) < FILLS_OVER:
        return None
    most_l = max(litres_l for _, litres_l in over)
    return Evidence(
        f"The overflow ran at {len(over)} of the last {len(fills)} fills after no more than "
        f"{spoken_litres(most_l)}; the reservoir holds {spoken_litres(capacity_l)}.",
        records=tuple(record for record, _ in over),
        numbers={"fills": len(fills), "ran_over": len(over), "most_l": most_l},
    )


@flag(
    name="Soggy mix",
    urgency="this-week",
    advice="Do not add water. Look whether the overflow is free; let the planter drink the "
    "reservoir down. Sour smell, gnats or black roots: lift one plant and look.",
)
def soggy_mix(case: Case) -> Evidence | None:
    """The mix was soggy, or smelled sour, at the last look: roots are drowning.

    Source: common practice, no source.
    """
    if not case.in_use:
        return None
    soggy = sign_in_last_look(case, "soggy-mix")
    sour = sign_in_last_look(case, "bad-smell")
    seen = soggy or sour
    if seen is None:
        return None
    found = "A bad smell"
    if soggy:
        found = "Soggy mix with a bad smell" if sour else "Soggy mix"
    return Evidence(
        f"{found} {when_came(seen)}.",
        records=(seen.record,),
        urgency="this-week" if soggy else "watch",
    )


@flag(
    name="More litres than room",
    urgency="this-week",
    advice="Look under the planter for water and at the drain plug and its washer. Then ask how "
    "the litres were measured, and correct the check-in if they were not.",
    caution=WET_CAUTION,
)
def litres_beyond_capacity(case: Case) -> Evidence | None:
    """The last fill took more than the reservoir had room for, with no overflow to explain it.

    A leak, a plug that is out, a wrong reading or a wrong measure. Where the overflow ran, what
    was too much ran out of it, and only litres beyond the whole reservoir count.

    Source: arithmetic; the slack for hose timers is common practice, no source.
    """
    fill = newest(case, lambda visit: (visit.check_in.litres_l or 0) > 0)
    if not case.in_use or fill is None or fill.check_in.litres_l is None:
        return None
    capacity_l, level = case.planter.reservoir_l, fill.check_in.level
    by_reading = level is not None and not fill.ran_over
    room_l = top_up_range(capacity_l, level or 0).high_l if by_reading else capacity_l
    if fill.check_in.litres_l <= room_l * MEASURE_SLACK:
        return None
    given = spoken_litres(fill.check_in.litres_l)
    if by_reading:
        room = f"read {spoken_level(level or 0)}, it had room for {spoken_litres(room_l)} at most"
    else:
        room = f"the reservoir holds {spoken_litres(capacity_l)}"
    return Evidence(
        f"{given} given {when_came(fill)}; {room}.",
        records=(fill.record,),
        numbers={"litres_l": fill.check_in.litres_l, "room_l": room_l},
    )


@flag(
    name="Impossible reading",
    urgency="watch",
    advice="Read the level again by another way: dipstick, or lift the cap. Ask whether water was "
    "given and not written down; floats stick.",
)
def impossible_reading(case: Case) -> Evidence | None:
    """The newest reading cannot be: it rose with no water given, or stands high with no plug.

    Source: common practice, no source.
    """
    reading = newest(case, lambda visit: visit.check_in.level is not None)
    if reading is None or case.planter.status != "in-use":
        return None
    level = reading.check_in.level or 0
    if reading.check_in.plug in ("out", "missing") and level >= HELD_LEVEL:
        how = "out" if reading.check_in.plug == "out" else "missing"
        return Evidence(
            f"Read {spoken_level(level)} {when_came(reading)}, with the drain plug {how}.",
            records=(reading.record,),
            numbers={"level": level},
        )
    before = _reading_before(case, reading)
    if before is None or case.state.drained:
        return None
    was = before.check_in.level or 0
    if level - was < SURE_RISE or _water_between(case, before, reading):
        return None
    return Evidence(
        f"Rose from {spoken_level(was)} on {spoken_day(before.day)} to {spoken_level(level)} "
        f"{when_came(reading)}, with no water given between; rain may explain it.",
        records=(before.record, reading.record),
        numbers={"was": was, "level": level},
    )


def _reading_before(case: Case, reading: Visit) -> Visit | None:
    """The reading before a reading."""
    return newest(case, lambda visit: visit.check_in.level is not None and visit.at < reading.at)


def _water_between(case: Case, before: Visit, reading: Visit) -> bool:
    """Whether any water is on record from one reading up to the next, whichever way it went in."""
    full = case.state.last_full
    if full is not None and before.at <= full.at < reading.at:
        return True
    return any(
        visit.water_given
        or (visit.check_in.overhead_l or 0) > 0
        or "flushed" in visit.check_in.done
        for visit in case.visits
        if before.at <= visit.at < reading.at
    )
