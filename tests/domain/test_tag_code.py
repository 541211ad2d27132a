"""Tag codes against the published check values, another library, and every slip of one finger."""

from __future__ import annotations

from itertools import combinations
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stdnum.iso7064 import mod_37_36

from potrounds.domain.tag_code import (
    ALPHABET,
    check_character,
    display,
    fold,
    is_valid,
    new_code,
)

DIGITS_AND_LETTERS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
unhurried = settings(deadline=None)
codes = st.integers(min_value=0, max_value=2**64).map(lambda seed: new_code(Random(seed)))


# Source: examples in the Lobster_data function reference, "checksum ISO 7064 Mod. 37/36"
# (lobster-world.com); the last is also the example of the Global Release Identifier,
# A1-2425G-ABC1234002-M, as python-stdnum's documentation gives it.
@pytest.mark.parametrize(
    ("body", "check"),
    [("123AB", "X"), ("DADPIDA3897722461", "J"), ("A12425GABC1234002", "M")],
)
def test_published_check_values(body: str, check: str) -> None:
    assert check_character(body) == check


@unhurried
@given(st.text(alphabet=DIGITS_AND_LETTERS, min_size=1, max_size=40))
def test_agrees_with_python_stdnum(body: str) -> None:
    """Source: python-stdnum 2.2, stdnum.iso7064.mod_37_36, written by others."""
    assert check_character(body) == mod_37_36.calc_check_digit(body)
    assert mod_37_36.is_valid(body + check_character(body))


@unhurried
@given(codes)
def test_new_codes_have_the_printed_form(code: str) -> None:
    assert len(code) == 11
    assert set(code) <= set(ALPHABET)
    assert not set(code) & set("ILOU")
    assert mod_37_36.is_valid(code)
    assert is_valid(code)


@unhurried
@given(codes)
def test_every_single_substitution_is_caught(code: str) -> None:
    for place, right in enumerate(code):
        for wrong in DIGITS_AND_LETTERS:
            slip = code[:place] + wrong + code[place + 1 :]
            if fold(wrong) != right:
                assert not is_valid(slip), slip


@unhurried
@given(codes)
def test_every_adjacent_transposition_of_an_issued_code_is_caught(code: str) -> None:
    for place in range(10):
        slip = code[:place] + code[place + 1] + code[place] + code[place + 2 :]
        if slip != code:
            assert not is_valid(slip), slip
            assert not mod_37_36.is_valid(slip), slip


def test_what_the_bare_scheme_misses_and_issuing_avoids() -> None:
    """The scheme alone is not perfect: after each prefix one pair in 630 may change places.

    Counted over all 36 states a prefix can leave and all unlike pairs, with python-stdnum as the
    judge. `new_code` draws again when a code holds such a pair.
    """
    prefix_of_state = {mod_37_36.checksum(letter + "0"): letter for letter in DIGITS_AND_LETTERS}
    assert len(prefix_of_state) == 36
    missed = [
        prefix + left + right
        for prefix in prefix_of_state.values()
        for left, right in combinations(DIGITS_AND_LETTERS, 2)
        if mod_37_36.calc_check_digit(prefix + left + right)
        == mod_37_36.calc_check_digit(prefix + right + left)
    ]
    assert len(missed) == 36  # of 36 x 630 = 22,680
    assert len({text[0] for text in missed}) == 36


def test_a_code_that_hides_a_swap_is_drawn_again() -> None:
    """A source that first deals a body with a blind pair must not get that body issued."""
    blind = next(
        code
        for code in (_plain_code(Random(seed)) for seed in range(10_000))
        if set(code) <= set(ALPHABET) and _swaps_that_pass(code)
    )
    dealt = new_code(_Dealer(blind[:-1], Random(5)))
    assert dealt[:10] != blind[:10]
    assert not _swaps_that_pass(dealt)


def test_a_code_with_a_letter_that_folds_is_drawn_again() -> None:
    for letter in "ILOU":
        body = next(
            code[:-1]
            for code in (_plain_code(Random(seed)) for seed in range(10_000))
            if code[-1] == letter
        )
        assert new_code(_Dealer(body, Random(6)))[:10] != body


@unhurried
@given(codes)
def test_folding_undoes_display(code: str) -> None:
    assert fold(display(code)) == code
    assert [len(group) for group in display(code).split("-")] == [4, 4, 3]


@unhurried
@given(codes, st.randoms(use_true_random=False))
def test_hands_may_type_it_as_they_like(code: str, rng: Random) -> None:
    look_alikes = {"1": "1IiLl", "0": "0Oo"}
    typed = "".join(
        rng.choice(look_alikes.get(sign, sign + sign.lower()))
        + rng.choice(["", " ", "-", "\u2013"])
        for sign in code
    )
    assert fold(typed) == code
    assert is_valid(typed)


@unhurried
@given(st.text(max_size=60))
def test_folding_settles_and_never_fails_on_any_text(text: str) -> None:
    assert fold(fold(text)) == fold(text)
    assert is_valid(text) == is_valid(fold(text))


@pytest.mark.parametrize(
    "text",
    [
        "",
        "7",
        "A" * 1000,
        "0" * 10,
        "0" * 12,
        "ı" * 11,  # dotless i: raising it blindly would make it an I, then a 1
        "٠" * 11,  # digits of another script
        "HTTPS://PLANTERS.OSIERBEND.EXAMPLE/T/",
    ],
)
def test_what_is_no_code_is_refused(text: str) -> None:
    assert not is_valid(text)


def test_a_u_is_not_guessed_at() -> None:
    assert fold("u") == "U"
    assert not any(is_valid(code[:10] + "U") for code in map(new_code, map(Random, range(50))))


@pytest.mark.parametrize("body", ["", "abc", "12-3", "Ä"])
def test_no_check_character_without_a_proper_body(body: str) -> None:
    with pytest.raises(ValueError, match="check character"):
        check_character(body)


def test_codes_from_the_system_do_not_repeat_or_lean() -> None:
    """5,000 codes: no two alike, and every character about equally often in the body."""
    drawn = [new_code() for _ in range(5_000)]
    assert len(set(drawn)) == len(drawn)
    counts = {sign: sum(code[:10].count(sign) for code in drawn) for sign in ALPHABET}
    expected = 50_000 / 32
    assert all(abs(count - expected) < 0.2 * expected for count in counts.values())


class _Dealer(Random):
    """Deals a set body first, then goes on at random."""

    def __init__(self, body: str, after: Random) -> None:
        super().__init__(0)
        self.dealt, self.after = list(body), after

    def choice(self, seq):  # type: ignore[no-untyped-def, override]
        return self.dealt.pop(0) if self.dealt else self.after.choice(seq)


def _plain_code(rng: Random) -> str:
    body = "".join(rng.choice(ALPHABET) for _ in range(10))
    return body + mod_37_36.calc_check_digit(body)


def _swaps_that_pass(code: str) -> list[str]:
    swaps = [code[:i] + code[i + 1] + code[i] + code[i + 2 :] for i in range(10)]
    return [swap for swap in swaps if swap != code and mod_37_36.is_valid(swap)]
