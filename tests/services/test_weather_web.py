"""The forecast through a real web answer, as far as the cards; a bad one changes nothing."""

from __future__ import annotations

from contextlib import nullcontext
from datetime import date, timedelta

import pytest
from click.testing import CliRunner

from desk import Desk
from forecast_service import said, says, served
from potrounds import cli
from potrounds.services import town_settings, weather
from potrounds.services.refusal import Refusal
from potrounds.store import weather as store

TODAY = date(2026, 5, 4)


def an_answer(first: int = -2, count: int = 9, **changes: object) -> bytes:
    """The recorded answer's shape, on the days around the desk's day."""
    days = [str(TODAY + timedelta(first + n)) for n in range(count)]
    lists = {
        "time": days,
        "temperature_2m_min": [8.0] * count,
        "temperature_2m_max": [24.0] * count,
        "precipitation_sum": [0.0] * count,
        "wind_speed_10m_mean": [10.0] * count,
    }
    return said(**(lists | changes))


@pytest.fixture
def placed(desk: Desk) -> Desk:
    town_settings.change_settings(desk.ctx, {"latitude": 48.2})
    vera = desk.join("Vera")
    vera.push(vera.record(body={"level": 0.5, "overflow": "ran-while-filling"}))
    return desk


def test_an_answer_on_this_machine_reaches_the_card(placed: Desk) -> None:
    assert placed.card()["water"]["weather"] == "none"
    with served(says(an_answer())) as url:
        town_settings.change_settings(placed.ctx, {"weather_url": url})
        weather.fetch(placed.ctx)
    assert placed.card()["water"]["weather"] == "forecast"
    assert [row.date for row in store.observed()] == [TODAY - timedelta(2), TODAY - timedelta(1)]
    assert len(store.forecasts()) == 7


@pytest.mark.parametrize(
    ("answer", "words"),
    [
        (says(b"<html>Sign in to this network</html>"), "no JSON"),
        (says(an_answer(first=-20, count=9)), "stale"),
        (says(an_answer(temperature_2m_max=[24.0] * 4)), "different lengths"),
        (says(b"", 503), "503"),
    ],
)
def test_a_bad_answer_leaves_weather_and_card_as_they_were(
    placed: Desk, answer: object, words: str
) -> None:
    with served(says(an_answer())) as url:
        town_settings.change_settings(placed.ctx, {"weather_url": url})
        weather.fetch(placed.ctx)
    before = (store.observed(), store.forecasts(), placed.card())
    with served(answer) as url:  # type: ignore[arg-type]
        town_settings.change_settings(placed.ctx, {"weather_url": url})
        with pytest.raises(Refusal) as caught:
            weather.fetch(placed.ctx)
    assert words in caught.value.detail
    assert "Nothing was changed" in caught.value.detail
    assert (store.observed(), store.forecasts(), placed.card()) == before


def test_the_nightly_command_goes_on_without_the_service(
    placed: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    with served(says(b"", 503)) as url:
        town_settings.change_settings(placed.ctx, {"weather_url": url})
        placed.clock.tick(days=1)
        monkeypatch.setattr(cli, "_town", lambda: nullcontext(placed.ctx))
        result = CliRunner().invoke(cli.main, ["assess"])
    assert result.exit_code == 0, result.output
    assert "503" in result.output
    assert "3 cards assessed" in result.output
    assert placed.card()["water"]["as_of"] == "2026-05-05"
