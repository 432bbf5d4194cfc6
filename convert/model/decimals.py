"""Rationals as decimal digits, such that reading the digits gives the rational back.

1000 mm/min is 16.666... mm/s; somewhere the digits must end. Reader and writer keep one rule about it:

    A number of up to 15 significant digits is what it says. A longer one was rounded, or computed in binary; it means
    the decimal of 12 digits or the simplest fraction beside it, if that cannot well be there by accident, and else what
    it says.

The writer reads its own digits and adds one after the other until they mean the number: 17 do for whatever people
write, some 30 for a third of a decimal of 15 digits. So every rational survives being written and read, in any unit.

>>> spell(Fraction(50, 3)), meaning(16666666666666667, -15, 17)
('16.666666666666667', Fraction(50, 3))
>>> spell(Fraction("1234.56789012345") / 60)
'20.5761315020575'
>>> spell(Fraction("1234.56789012346") / 60)
'20.5761315020576666666666666667'
"""

from __future__ import annotations

from fractions import Fraction

SHORT = 15
"""Digits that every decimal of so many survives being kept in a double (IEEE 754 binary64)."""
DOUBLE = 17
"""Digits that tell every double from the next."""
MOST = 90
"""Digits of the longest number that may mean a fraction, and of the longest that is written for one."""

# A double computed in a step or two is off by up to this (relative): 2**-52, rounded up.
_NOISE = Fraction(25, 10**17)
# Digits of a decimal that is no accident within that.
_PLAIN = 12
# A fraction is no accident where fewer than one number in so many has one as simple beside it.
_CHANCE = 1000


def fraction(digits: int, power: int) -> Fraction:
    """digits * 10**power."""
    return Fraction(digits * 10**power) if power >= 0 else Fraction(digits, 10**-power)


def meaning(digits: int, power: int, count: int) -> Fraction:
    """What digits * 10**power means, written with `count` significant digits (noughts at the end are digits).

    >>> meaning(3, -1, 1), meaning(30000000000000004, -17, 17), meaning(12345678901234567, -16, 17)
    (Fraction(3, 10), Fraction(3, 10), Fraction(12345678901234567, 10000000000000000))
    """
    says = fraction(digits, power)
    if count <= SHORT or count > MOST or not digits or _is_short(digits):
        return says
    size = abs(says)
    reach = fraction(1, power) / 2
    if count <= DOUBLE:
        noise = size * _NOISE
        near = fraction(*rounded(says.numerator, says.denominator, _PLAIN))
        if abs(near - says) <= noise:
            return near
        reach = max(reach, noise)
    near = simplest(size - reach, size + reach)
    if near.denominator**2 * 2 * reach * _CHANCE > 1:
        return says
    return near if digits > 0 else -near


def _is_short(digits: int) -> bool:
    return len(str(abs(digits)).rstrip("0")) <= SHORT


def simplest(low: Fraction, high: Fraction) -> Fraction:
    """The fraction of the smallest denominator from low to high, both included; 0 < low <= high.

    By continued fractions: as long as both ends agree in their whole part, that is the next term.

    >>> simplest(Fraction("3.14"), Fraction("3.15")), simplest(Fraction(1, 3), Fraction(1, 3))
    (Fraction(22, 7), Fraction(1, 3))
    """
    top, bottom, upper, lower = low.numerator, low.denominator, high.numerator, high.denominator
    terms: list[int] = []
    while True:
        whole, rest = divmod(top, bottom)
        other, beyond = divmod(upper, lower)
        if not rest or whole < other:
            terms.append(whole if not rest else whole + 1)
            break
        terms.append(whole)
        top, bottom, upper, lower = lower, beyond, bottom, rest
    numerator, denominator = terms.pop(), 1
    for term in reversed(terms):
        numerator, denominator = term * numerator + denominator, numerator
    return Fraction(numerator, denominator)


def rounded(top: int, bottom: int, count: int) -> tuple[int, int]:
    """(m, p) with top/bottom ~ m * 10**p, m of `count` digits at most; half to even."""
    if not top:
        return 0, 0
    size = abs(top)
    power = len(str(size)) - len(str(bottom)) - count
    while True:
        over, under = (size, bottom * 10**power) if power >= 0 else (size * 10**-power, bottom)
        digits, rest = divmod(over, under)
        if digits < 10**count:
            break
        power += 1
    if 2 * rest > under or (2 * rest == under and digits & 1):
        digits += 1
    return (digits if top > 0 else -digits), power


def plain(digits: int, power: int) -> str:
    """digits * 10**power without an exponent; every digit is written.

    >>> plain(-25, -1), plain(25, 2), plain(250, -2), plain(5, -3)
    ('-2.5', '2500', '2.50', '0.005')
    """
    sign, text = ("-", str(-digits)) if digits < 0 else ("", str(digits))
    if power >= 0:
        return sign + text + "0" * power if digits else "0"
    text = text.zfill(1 - power)
    return f"{sign}{text[:power]}.{text[power:]}"


def spell(value: Fraction) -> str:
    """The shortest plain decimal that means the value; of a value that not even 90 digits tell, `tidy` is written.

    >>> spell(Fraction(1, 5)), spell(Fraction(-25, 4)), spell(Fraction(2, 3)), spell(Fraction(10**18))
    ('0.2', '-6.25', '0.66666666666666667', '1000000000000000000')
    """
    top, bottom = value.numerator, value.denominator
    if bottom == 1 and -(10**SHORT) < top < 10**SHORT:
        return str(top)
    digits, power = rounded(top, bottom, SHORT)
    if fraction(digits, power) == value:
        return plain(*_cut(digits, power))
    return _told(value) or spell(tidy(value))


def _told(value: Fraction) -> str:
    """The fewest digits from 17 on that mean the value exactly, noughts at the end only if needed; "" if none do."""
    top, bottom = value.numerator, value.denominator
    whole = len(str(abs(top) // bottom))
    if 2 * len(str(bottom)) + whole > MOST and 10**MOST % bottom:
        return ""  # neither simple enough for so many digits nor a decimal of so many
    for count in range(DOUBLE, MOST + 1):
        digits, power = rounded(top, bottom, count)
        shorter, cut = _cut(digits, power)
        if meaning(shorter, cut, _length(shorter, cut)) == value:
            return plain(shorter, cut)
        if cut != power and meaning(digits, power, count) == value:
            return plain(digits, power)
    return ""


def _cut(digits: int, power: int) -> tuple[int, int]:
    """The same number without noughts at the end of its decimals."""
    while power < 0 and not digits % 10:
        digits, power = digits // 10, power + 1
    return digits, power


def _length(digits: int, power: int) -> int:
    """Significant digits of the number's plain text."""
    return len(str(abs(digits))) + max(power, 0)


# --- numbers that are not exact: from other programs' doubles, or by a factor that is itself cut (180/pi)

# A value this close (times 1e-17, relative) to a decimal of so many significant digits is taken to be that decimal.
_SETTLES = ((12, 25), (15, 10))
# What a cut factor gives is written with 20 digits, and known again as a decimal of up to 18.
_TIDY, _KNOWN = 20, 18


def settle(value: Fraction) -> Fraction:
    """The decimal that the value is but for the noise of a double; else itself.

    That is a decimal of 12 digits within 2.5e-16 (relative), or one of 15 digits within 1e-16.

    >>> settle(Fraction("1000.00000000000002")), settle(Fraction(1, 3))
    (Fraction(1000, 1), Fraction(1, 3))
    """
    for count, radius in _SETTLES:
        near = fraction(*rounded(value.numerator, value.denominator, count))
        if abs(near - value) * 10**17 <= radius * abs(value):
            return near
    return value


def tidy(value: Fraction, count: int = SHORT) -> Fraction:
    """What is taken for a value that came by a cut factor, of a number that had `count` digits.

    16 and 17 digits are a double's, and settled. Else it is the decimal of 18 digits within 1e-19; or else what the
    first 20 digits mean, or a few more if that is not near.

    >>> tidy(Fraction(10**60, 7 * 10**60 - 1)), tidy(Fraction(10**60 + 1, 4 * 10**60))
    (Fraction(1, 7), Fraction(1, 4))
    """
    top, bottom = value.numerator, value.denominator
    if SHORT < count <= DOUBLE:
        near = settle(value)
        if near is not value:
            return near
    near = fraction(*rounded(top, bottom, _KNOWN))
    count = _TIDY
    while abs(near - value) * (2 * 10 ** (_TIDY - 1)) > abs(value):
        digits, power = _cut(*rounded(top, bottom, count))
        near = meaning(digits, power, _length(digits, power))
        count += 1
    return near
