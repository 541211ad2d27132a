"""The nouns of a round: crew, taps, what a planter needs and when, stops in their order."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from math import floor

MODES = ("foot", "cart", "vehicle")
#: Metres a minute. Foot: 80 m/min (4.8 km/h), the walking pace of footway guides; a loaded cart is
#: slower, a vehicle in a town with its parking hardly faster. Common practice, no source.
PACE_M_MIN: Mapping[str, float] = {"foot": 80.0, "cart": 60.0, "vehicle": 250.0}
VACUUM_BREAKER = ("yes", "no", "unknown")
#: Hours are told to the quarter, half up, once for each person and round.
QUARTER_MIN = 15


@dataclass(frozen=True)
class Position:
    """A place on earth, WGS84. [degrees]"""

    lat: float
    lon: float


@dataclass(frozen=True)
class Tap:
    """Where water is to be had."""

    id: str
    name: str
    site: str | None = None
    position: Position | None = None
    flow_l_min: float | None = None
    vacuum_breaker: str = "unknown"
    opens: str = ""


@dataclass(frozen=True)
class CrewMember:
    """Somebody who goes out on days of the week, for so long, with so much water.

    No tank: water is at the planters (a hose, a can at the next tap), and litres are not counted.
    """

    person: str
    name: str
    weekdays: tuple[int, ...]
    minutes: int = 120
    mode: str = "foot"
    tank_l: float | None = None
    start_tap: str | None = None
    away: tuple[date, ...] = ()

    def goes_out(self, day: date) -> bool:
        """Whether that is one of the days."""
        return day.weekday() in self.weekdays and day not in self.away


@dataclass(frozen=True)
class Task:
    """Something due at a planter from a day up to a day, beside water."""

    code: str
    why: str
    earliest: date
    latest: date


@dataclass(frozen=True)
class Litres:
    """Water to bring. [L]"""

    mid: float
    low: float
    high: float


@dataclass(frozen=True)
class Need:
    """What the plan has to know of one planter.

    `dry_before[n]`: chance of running dry before n days have passed, nobody filling. The same for
    `dry_after_fill`, counted from a fill. Empty: nothing is known, and `due` alone decides.
    """

    planter: str
    name: str
    site: str
    site_name: str
    reservoir_l: float
    position: Position | None = None
    dry_before: tuple[float, ...] = ()
    dry_after_fill: tuple[float, ...] = ()
    litres: tuple[Litres, ...] = ()  # to the brim on the morning of today, of tomorrow, ...
    litres_a_day: float = 0.0  # that the reservoir falls, for mornings after a fill
    due: date | None = None
    every_days: int = 7
    tasks: tuple[Task, ...] = ()
    minutes: float = 5.0

    @property
    def forecast(self) -> bool:
        """Whether its water is known."""
        return bool(self.dry_before)


@dataclass(frozen=True)
class Visit:
    """One planter on one of the crew's days."""

    need: Need
    litres: Litres
    why: tuple[str, ...]
    must: bool
    chance: float  # of being dry before the crew's next day if it is left out


@dataclass(frozen=True)
class Stop:
    """A visit in its place in the order."""

    visit: Visit
    way_m: float  # from the place before
    way_min: float
    new_leg: bool = False  # the way here is too long to walk
    refill_at: str | None = None  # tap at which the tank is filled on the way here
    loads: int = 1  # tank loads it takes; more than one where it wants more than the tank holds
    tank_left_l: float | None = None


@dataclass(frozen=True)
class Round:
    """One person's stops on one day, in order."""

    day: date
    member: CrewMember
    stops: tuple[Stop, ...]
    start_tap: str | None = None
    back_m: float = 0.0  # from the last stop to where it began
    back_min: float = 0.0
    refill_min: float = 0.0  # that one filling of the tank takes

    @property
    def way_m(self) -> float:
        """Metres in all, driven ones as well."""
        return sum(stop.way_m for stop in self.stops) + self.back_m

    @property
    def litres_l(self) -> float:
        """Water in all. [L]"""
        return sum(stop.visit.litres.mid for stop in self.stops)

    @property
    def minutes(self) -> float:
        """Ways, work at the planters, and fillings of the tank. [min]"""
        at_work = sum(stop.visit.need.minutes + stop.way_min for stop in self.stops)
        return at_work + self.back_min + self.refills * self.refill_min

    @property
    def refills(self) -> int:
        """How often the tank is filled on the way."""
        return sum((stop.refill_at is not None) + stop.loads - 1 for stop in self.stops)

    @property
    def planters(self) -> tuple[str, ...]:
        """The planters in order."""
        return tuple(stop.visit.need.planter for stop in self.stops)

    @property
    def key(self) -> str:
        """The key of its card."""
        return round_key(self.day, self.member.person)


@dataclass(frozen=True)
class CrewDay:
    """A day on which a crew goes out, who goes, and when the next one is."""

    day: date
    members: tuple[CrewMember, ...]
    next_day: date
    no_water: bool = False  # a freeze is near: nobody pours


@dataclass(frozen=True)
class DayPlan:
    """All rounds of one day."""

    day: date
    rounds: tuple[Round, ...]
    left_out: tuple[Visit, ...] = ()  # that had to be visited, and did not fit


@dataclass(frozen=True)
class Told:
    """What people have been told of a day: which planters, in which order, and whose."""

    day: date
    person: str
    planters: tuple[str, ...]

    @property
    def key(self) -> str:
        """The key of its card."""
        return round_key(self.day, self.person)


@dataclass(frozen=True)
class Choice:
    """What another chance of running dry would cost. Both counted up to the horizon."""

    risk: float
    visits: int
    dry: float  # planters to be found dry, in the long run


@dataclass(frozen=True)
class Plan:
    """Rounds for the days ahead, and everything that has to be said of them."""

    today: date
    days: tuple[DayPlan, ...]
    notes: tuple[str, ...] = ()
    choices: tuple[Choice, ...] = ()
    unplanned: Mapping[str, str] = field(default_factory=dict)  # planter -> why not

    def rounds(self) -> Sequence[Round]:
        """All rounds, by day."""
        return [one for day in self.days for one in day.rounds]


def with_asked(told: Sequence[Told], asked: Mapping[str, Collection[str]]) -> tuple[Told, ...]:
    """What was told, and behind it the planters a coordinator has put on a round since."""
    there = {one.key for one in told}
    found = [replace(one, planters=_and(one.planters, asked.get(one.key, ()))) for one in told]
    for key in sorted(set(asked) - there):
        named = read_round_key(key)
        if named is not None:
            found.append(Told(*named, _and((), asked[key])))
    return tuple(found)


def _and(planters: tuple[str, ...], more: Collection[str]) -> tuple[str, ...]:
    return (*planters, *sorted(set(more) - set(planters)))


def way_min(mode: str, metres: float, far_m: float) -> float:
    """Minutes for a way; one of `far_m` or more is driven, whatever the round is done by. [min]"""
    return metres / PACE_M_MIN["vehicle" if metres >= far_m else mode]


def round_key(day: date, person: str) -> str:
    """The key of a person's round on a day: any phone can name it, also one nobody planned."""
    return f"round-{day.isoformat()}-{person}"


def read_round_key(key: str) -> tuple[date, str] | None:
    """Day and person of a key; None where it is none."""
    if not key.startswith("round-") or len(key) < 18 or key[16] != "-":
        return None
    try:
        day = date.fromisoformat(key[6:16])
    except ValueError:
        return None
    return day, key[17:]


def quarter_hours(minutes: float) -> int:
    """Minutes to the quarter hour, half up. [min]

    Source: common practice, no source; the same rule for everybody.
    """
    return floor(max(0.0, minutes) / QUARTER_MIN + 0.5) * QUARTER_MIN


def asked_words(why: str, by: str) -> str:
    """Why a stop that a coordinator put on a round must be made."""
    return f"{why} Put on the round by {first_name(by)}.".strip()


def first_name(name: str) -> str:
    """What a calendar or another volunteer sees of a name."""
    return name.split()[0] if name.split() else ""
