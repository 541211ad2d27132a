"""A freeze that is forecast while plugs are in: mailed at once, and once (aiosmtpd takes it)."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from desk import Desk
from mail_box import Box, box, parts, server, town
from potrounds.services import assess, digest, freeze_warning, town_settings, weather
from potrounds.services.context import Context
from potrounds.store import database, register
from potrounds.weather import WeatherDay

__all__ = ["box", "server", "town"]


def test_a_typed_freeze_is_told_at_once_and_once(town: Context, box: Box, desk: Desk) -> None:
    night = desk.clock.now().date() + timedelta(days=2)
    nights = [{"date": night.isoformat(), "kind": "forecast", "low_c": -2.0}]
    town_settings.put_nights(town, nights)
    [message] = box.taken
    plain, _ = parts(message)
    assert "freeze forecast" in message["Subject"]
    assert "−2" in plain
    assert "plug not out" in plain
    town_settings.put_nights(town, [{**nights[0], "low_c": -3.0}])
    assert len(box.taken) == 1
    later = {**nights[0], "date": (night + timedelta(days=30)).isoformat()}
    town_settings.put_nights(town, [{**nights[0], "low_c": None}, later])
    assert len(box.taken) == 1  # too far ahead to be told at once


def test_a_freeze_goes_out_once_while_forecasts_move_and_nights_pass(
    town: Context, box: Box, desk: Desk
) -> None:
    def say(days: int, low_c: float) -> None:
        night = desk.clock.now().date() + timedelta(days=days)
        told = {"date": night.isoformat(), "kind": "forecast", "low_c": low_c}
        town_settings.put_nights(town, [told])

    say(2, -1.0)
    for _ in range(3):
        desk.clock.tick(days=1)
        say(2, -2.0)
        assess.assess_all(town)
        assert freeze_warning.warn(town) == digest.BEFORE
    assert len(box.taken) == 1
    desk.clock.tick(days=10)
    say(3, -1.0)
    assert len(box.taken) == 2


def test_what_an_earlier_release_noted_of_a_freeze_counts(
    town: Context, box: Box, desk: Desk
) -> None:
    night = (desk.clock.now().date() + timedelta(days=2)).isoformat()
    with database.write_transaction():
        register.set_setting("freeze_sent", night)
    town_settings.put_nights(town, [{"date": night, "kind": "forecast", "low_c": -2.0}])
    assert box.taken == []


def test_a_freeze_that_could_not_be_mailed_is_mailed_later(
    town: Context, box: Box, desk: Desk
) -> None:
    box.answer = "451 try later"
    night = (desk.clock.now().date() + timedelta(days=2)).isoformat()
    town_settings.put_nights(town, [{"date": night, "kind": "forecast", "low_c": -2.0}])
    box.answer = "250 taken"
    assert freeze_warning.warn(town) == digest.DONE
    assert len(box.taken) == 1


def test_weather_that_freezes_is_told_too(town: Context, box: Box, desk: Desk) -> None:
    """A forecast row of the service, as `weather.keep` stores it."""
    day = desk.clock.now().date()

    class Source:
        def days(self, today: Any) -> list[WeatherDay]:
            return [WeatherDay(day + timedelta(days=n), -1.5 + n, 9.0) for n in range(3)]

    weather.keep(town, Source(), "web")
    assert len(box.taken) == 1
