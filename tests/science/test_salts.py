"""Salt readings in words by the published table, and the salt book's worked example."""

from __future__ import annotations

import pytest

from potrounds.science import salts

# University of Massachusetts, greenhouse EC guide: a figure inside each word, by method. [mS/cm]
TABLE = {
    "1:2": (0.2, 0.5, 1.0, 1.5, 2.0, 2.4),
    "saturated": (0.5, 1.5, 3.0, 4.0, 5.5, 6.1),
    "pour-through": (0.5, 2.0, 3.5, 5.0, 7.0, 7.9),
}


@pytest.mark.parametrize("method", salts.METHODS)
def test_a_reading_has_the_word_of_the_table(method: str) -> None:
    said = [salts.ec_word(method, value) for value in TABLE[method]]
    assert tuple(one.word for one in said) == salts.WORDS
    assert not any(one.between for one in said)


@pytest.mark.parametrize(
    ("method", "value", "word"),
    [
        # the same table: a limit two words share is given to the upper, the careful one
        ("1:2", 0.3, "low"),
        ("1:2", 1.3, "high"),
        ("saturated", 5.0, "very-high"),
        ("pour-through", 4.6, "high"),
        # "high" ends at 6.5 and "very high" begins at 6.6; "extreme" is above its limit only
        ("pour-through", 6.5, "high"),
        ("pour-through", 6.6, "very-high"),
        ("1:2", 2.3, "very-high"),
        ("saturated", 6.0, "very-high"),
        ("pour-through", 7.8, "very-high"),
        ("1:2", 0.0, "very-low"),
        ("1:2", 20.0, "extreme"),
    ],
)
def test_limits(method: str, value: float, word: str) -> None:
    said = salts.ec_word(method, value)
    assert (said.word, said.between) == (word, False)


def test_between_two_words_of_the_table_the_upper_is_taken_and_that_is_said() -> None:
    said = salts.ec_word("pour-through", 6.55)
    assert (said.word, said.between) == ("very-high", True)


@pytest.mark.parametrize("value", [-0.1, 20.1, 1300])
def test_a_reading_that_cannot_be_is_refused(value: float) -> None:
    with pytest.raises(ValueError, match="mS/cm"):
        salts.ec_word("1:2", value)


def test_another_method_is_not_guessed() -> None:
    with pytest.raises(KeyError):
        salts.ec_word("1:5", 1.0)


def test_the_rise_of_a_season_of_tap_water() -> None:
    # By hand: 2 L a day for 90 days at 0.5 mS/cm into 40 L of held water, 90 / 40 = 2.25 mS/cm
    assert salts.salt_rise([(2.0, 0.5)] * 90, 40.0) == pytest.approx(2.25)
    assert salts.salt_rise([], 40.0) == 0
    with pytest.raises(ValueError, match="holds"):
        salts.salt_rise([(2.0, 0.5)], 0.0)


def test_dissolved_salts() -> None:
    # University of Tennessee: ppm of dissolved salts are about 640 times the EC
    assert salts.dissolved_ppm(0.5) == 320
