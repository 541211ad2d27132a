"""The code printed on a tag: ten random Crockford base-32 characters and one check character.

The check character is ISO 7064 MOD 37-36, which stays within 0-9 and A-Z. Codes that would need
I, L, O or U for it are never issued, so on the way in a typed I or L can only be a 1 and an O only
a 0. The code is an address, not a key: it says nothing about the place, the number or the order.
"""

from __future__ import annotations

from random import Random
from secrets import SystemRandom

ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
"""Crockford base 32: digits and capital letters without I, L, O and U."""

BODY_LENGTH = 10
CODE_LENGTH = BODY_LENGTH + 1
GROUP_LENGTH = 4

_ISO_7064 = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
_VALUES = {character: value for value, character in enumerate(_ISO_7064)}
_MODULUS = len(_ISO_7064)

# What hands and phone keyboards put between the groups, smart dashes and hard spaces among them.
_SEPARATORS = " -\t\r\n\u00a0\u00ad\u2007\u2009\u200b\u2010\u2011\u2012\u2013\u2014\u2212\u202f"
# Only ASCII letters are raised: str.upper() would make letters out of other alphabets' signs.
_FOLDING = str.maketrans(
    {
        **dict.fromkeys(_SEPARATORS, ""),
        **{character.lower(): character for character in _ISO_7064},
        **dict.fromkeys("IiLl", "1"),
        **dict.fromkeys("Oo", "0"),
    }
)


def check_character(body: str) -> str:
    """The ISO 7064 MOD 37-36 check character of a text of digits and capital letters.

    Raises ValueError when the text is empty or holds anything else.

    Source: ISO/IEC 7064:2003, the hybrid system MOD 37-36, in its recursive form.
    """
    if not body:
        raise ValueError("A check character needs at least one character before it.")
    product = _MODULUS
    for character in body:
        if character not in _VALUES:
            raise ValueError("A check character is made of digits and capital letters A to Z only.")
        remainder = (product + _VALUES[character]) % _MODULUS or _MODULUS
        product = remainder * 2 % (_MODULUS + 1)
    return _ISO_7064[(1 - product) % _MODULUS]


def new_code(rng: Random | None = None) -> str:
    """A fresh code of 11 characters; the randomness is the system's unless a test brings its own.

    The scheme lets about one adjacent swap in 630 pass, so codes with such a pair are not issued:
    whatever code is on a tag, two neighbours typed the wrong way round are always noticed.
    """
    source = SystemRandom() if rng is None else rng
    while True:
        body = "".join(source.choice(ALPHABET) for _ in range(BODY_LENGTH))
        code = body + check_character(body)
        if code[-1] in ALPHABET and not _hides_a_swap(code):
            return code


def fold(text: str) -> str:
    """Typed text as the code it stands for: no hyphens or spaces, capitals, I and L as 1, O as 0.

    Anything that can stand in no code is left as it is, for `is_valid` to refuse.
    """
    return text.translate(_FOLDING)


def is_valid(text: str) -> bool:
    """Whether the text, once folded, is a code that could have been issued on a tag."""
    code = fold(text)
    if len(code) != CODE_LENGTH or any(character not in ALPHABET for character in code):
        return False
    return check_character(code[:-1]) == code[-1]


def display(code: str) -> str:
    """The code in groups of four, as it is printed: XXXX-XXXX-XXX."""
    folded = fold(code)
    return "-".join(
        folded[start : start + GROUP_LENGTH] for start in range(0, len(folded), GROUP_LENGTH)
    )


def _hides_a_swap(code: str) -> bool:
    """Whether some pair of unlike neighbours could change places without the check noticing."""
    for place in range(len(code) - 1):
        left, right = code[place], code[place + 1]
        swapped = code[:place] + right + left + code[place + 2 :]
        if left != right and check_character(swapped[:-1]) == swapped[-1]:
            return True
    return False
