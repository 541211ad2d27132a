"""Rules of feed and salts, each shown firing and keeping quiet.

The intervals are the town's own; the rest is common practice, no source, but for the salt table of
the University of Massachusetts.
"""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from build import (
    TODAY,
    WINTER,
    a_calendar,
    a_case,
    a_check_in,
    a_planter,
    a_record,
    a_step,
    raises,
    stays_quiet,
)
from potrounds.domain.feed_rules import FeedRules
from potrounds.domain.planter import Planting
from potrounds.flags.feeds import feed_plan
from potrounds.flags.salt_book import salt_book


def town(every: int | None = 14, **more: Any) -> dict[str, Any]:
    """A town that feeds so often; no interval is none."""
    return {"calendar": a_calendar(care=FeedRules(every_days=every, **more))}


def fed(days_ago: float, by: str = "Wim", **more: Any):
    return a_check_in(done=["fed"], plants=4, days_ago=days_ago, by=by, **more)


def planted(days_ago: int) -> dict[str, Any]:
    return {"planter": a_planter(planting=Planting(TODAY - timedelta(days_ago), ("begonia",)))}


def test_feed_due_raises_after_the_towns_interval() -> None:
    last = fed(14)
    evidence = raises("feed_due", last, **town())
    assert evidence.records == (last.id,)
    assert evidence.numbers == {"days": 14, "late_days": 0}
    assert "when Wim came on Monday 27 July" in evidence.sentence


def test_feed_due_raises_where_nobody_has_fed_since_the_roots_are_down() -> None:
    evidence = raises("feed_due", **town())
    assert evidence.sentence == "Not fed since it was planted."
    # planted on 12 May, three weeks from above: due since 2 June
    assert evidence.numbers == {"late_days": 69}


def test_feed_due_stays_quiet_without_an_interval_and_before_it_has_passed() -> None:
    stays_quiet("feed_due", fed(40), **town(every=None))
    stays_quiet("feed_due", fed(13), **town())


def test_feed_due_stays_quiet_while_roots_are_short_and_counts_from_when_they_are_down() -> None:
    stays_quiet("feed_due", **town(), **planted(10))
    stays_quiet("feed_due", **town(), **planted(20))
    raises("feed_due", **town(), **planted(22))
    old = a_record("planting", {"plants": [{"name": "ivy"}]}, days_ago=10)
    stays_quiet("feed_due", old, fed(40), **town())


def test_feed_due_never_asks_to_feed_a_dry_mix_or_hanging_plants() -> None:
    for sign in ("dry-mix", "wilting", "soggy-mix", "bad-smell", "salt-crust"):
        look = a_check_in(signs=[sign], days_ago=1)
        stays_quiet("feed_due", fed(20), look, **town())
        plan = feed_plan(a_case(fed(20), look, **town()))
        assert plan is not None
        assert plan.hold
    raises(
        "feed_due",
        fed(20),
        a_check_in(signs=["dry-mix"], days_ago=3),
        a_check_in(plants=4),
        **town(),
    )


def test_feed_due_stays_quiet_as_winter_comes() -> None:
    # winter from 15 September: no feed in the three weeks before, nor after
    three_weeks = a_calendar().winter_from
    assert three_weeks == (9, 15)
    last = TODAY.replace(month=8, day=24)
    stays_quiet("feed_due", fed(40), today=last + timedelta(1), **town())
    raises("feed_due", fed(40), today=last, **town())
    stays_quiet("feed_due", fed(90), today=WINTER, **town())
    stopped = a_step("stop-water", on=TODAY.replace(day=10))
    early = a_calendar(care=FeedRules(every_days=14), winter_from=(8, 20))
    stays_quiet("feed_due", fed(40), stopped, calendar=early)


def test_feed_due_stays_quiet_where_nothing_grows() -> None:
    stays_quiet("feed_due", fed(40), planter=a_planter(status="stored"), **town())


def test_fed_twice_raises_for_two_phones_that_did_not_know_of_each_other() -> None:
    first, second = fed(3, by="Wim"), fed(1, by="Adele")
    evidence = raises("fed_twice", first, second, **town())
    assert evidence.records == (first.id, second.id)
    assert evidence.numbers == {"apart_days": 2}
    assert "Wim" in evidence.sentence
    assert "Adele" in evidence.sentence
    assert evidence.advice is not None
    assert "No feed before Sunday 23 August" in evidence.advice
    raises("fed_twice", second, first, **town())  # in any order of arrival
    raises("fed_twice", fed(0, by="Wim"), fed(0.1, by="Adele"), **town())


def test_fed_twice_stays_quiet_for_a_round_that_came_a_day_or_two_early() -> None:
    stays_quiet("fed_twice", fed(12), fed(0), **town())
    raises("fed_twice", fed(11), fed(0), **town())


def test_fed_twice_asks_a_week_where_the_town_has_no_interval() -> None:
    raises("fed_twice", fed(6), fed(0), **town(every=None))
    stays_quiet("fed_twice", fed(7), fed(0), **town(every=None))


def test_fed_twice_clears_with_a_flush_and_with_time() -> None:
    pair = (fed(5), fed(4))
    raises("fed_twice", *pair, **town())
    stays_quiet("fed_twice", *pair, a_check_in(done=["flushed"]), **town())
    stays_quiet("fed_twice", fed(20), fed(18), **town())
    stays_quiet("fed_twice", fed(3), **town())
    new = a_record("planting", {}, days_ago=2)
    stays_quiet("fed_twice", fed(3), new, fed(1), **town())


def test_salts_high_raises_by_the_table() -> None:
    # University of Massachusetts, greenhouse EC guide
    high = a_check_in(ec={"method": "pour-through", "ms_cm": 7.0}, plants=3)
    evidence = raises("salts_high", high)
    assert evidence.urgency == "this-week"
    assert evidence.sentence == (
        "7 mS/cm by pour-through, very high, when Ines came on Monday 10 August."
    )
    assert raises("salts_high", a_check_in(ec={"method": "1:2", "ms_cm": 2.5})).urgency == "today"


def test_salts_high_stays_quiet_below_and_after_a_flush() -> None:
    stays_quiet("salts_high", a_check_in(ec={"method": "1:2", "ms_cm": 1.5}))
    stays_quiet("salts_high", a_check_in(ec={"method": "saturated", "ms_cm": 2.5}))
    high = a_check_in(ec={"method": "1:2", "ms_cm": 2.5}, days_ago=1)
    stays_quiet("salts_high", high, a_check_in(done=["flushed"]))
    stays_quiet("salts_high", high, a_check_in(ec={"method": "1:2", "ms_cm": 1.0}))
    stays_quiet("salts_high")


def test_the_salt_book_adds_up_what_was_poured() -> None:
    # By hand: 90 days of 2 L at 0.5 mS/cm into 40 L of held water rise by 2.25 mS/cm
    planter = a_planter(mix_l=40.0 / 0.55)
    visits = [a_check_in(litres_l=2.0, days_ago=day) for day in range(90)]
    around = {"planter": planter, **town(tap_ec_ms=0.5)}
    book = salt_book(a_case(*visits, **around))
    assert book.litres_l == 180
    assert book.rise_ms is not None
    assert abs(book.rise_ms - 2.25) < 1e-9
    evidence = raises("salt_crust", *visits, **around)
    assert "2.2 mS/cm" in evidence.sentence or "2.3 mS/cm" in evidence.sentence
    # a flush starts the book anew
    flushed = a_check_in(done=["flushed"], days_ago=0, hour=12)
    assert salt_book(a_case(*visits, flushed, **around)).rise_ms == 0
    stays_quiet("salt_crust", *visits, flushed, **around)


def test_the_salt_book_counts_the_feeds_own_salt_and_says_what_it_does_not_know() -> None:
    planter = a_planter(mix_l=100.0)
    around = {"planter": planter, **town(tap_ec_ms=0.5, ppm_n=100, can_l=10, feed_ec_ms=0.65)}
    feed = fed(10, feed={"ppm_n": 200, "litres_l": 5})
    fill = a_check_in(litres_how="to-overflow", overflow="ran-while-filling", days_ago=3)
    book = salt_book(a_case(feed, fill, **around))
    # by hand: 5 L at twice the town's rate, 1.3 mS/cm, into 55 L
    assert book.rise_ms is not None
    assert abs(book.rise_ms - 5 * 1.3 / 55) < 1e-9
    assert (book.unmeasured, len(book.feeds)) == (1, 1)
    assert not book.estimated
    assert salt_book(a_case(feed, **town())).rise_ms is None
