"""How the trade says a day, a level, a temperature and a number of litres in a sentence."""

from __future__ import annotations

from datetime import date

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
LEVEL_WORDS = {0.0: "empty", 0.25: "a quarter", 0.5: "half", 0.75: "three quarters", 1.0: "full"}
PLANT_WORDS = {1: "dead or gone", 2: "failing", 3: "stressed", 4: "good", 5: "thriving"}

NO_BREAK = "\N{NO-BREAK SPACE}"  # joins a number to its unit


def spoken_day(day: date) -> str:
    """A day as people say it: "Sunday 4 August", whatever the machine's locale."""
    return f"{WEEKDAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]}"


def spoken_level(level: float) -> str:
    """A gauge mark in words: "a quarter"."""
    return LEVEL_WORDS.get(level, f"{level:.0%}")


def spoken_litres(litres_l: float) -> str:
    """Litres with at most one decimal: "8 L", "2.5 L"."""
    return f"{litres_l:.1f}".removesuffix(".0") + NO_BREAK + "L"


def spoken_celsius(temperature_c: float) -> str:
    """A temperature with a true minus sign: "−2 °C"."""
    number = f"{temperature_c:.1f}".removesuffix(".0")
    number = "0" if number == "-0" else number
    return number.replace("-", "−") + NO_BREAK + "°C"


def spoken_length(length_cm: float) -> str:
    """A length both ways: "92 cm (36 in)", from three metres on "7.6 m (25 ft)"."""
    inches = length_cm / 2.54
    if length_cm < 300:
        return f"{length_cm:.0f}{NO_BREAK}cm ({inches:.0f}{NO_BREAK}in)"
    return f"{length_cm / 100:.1f}{NO_BREAK}m ({inches / 12:.0f}{NO_BREAK}ft)"


def spoken_count(number: int, one: str, many: str | None = None) -> str:
    """A number and its noun: "1 day", "9 days"."""
    return f"{number}{NO_BREAK}{one if number == 1 else many or one + 's'}"
