"""Vehicle loads: neither limit passed, nothing left behind, checked by hand and by property."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from potrounds.science.loads import Goods, TooBig, trips


def test_by_hand_mass_decides() -> None:
    """50 bags of 22.5 kg on 750 kg: 33 a trip (742.5 kg), 17 left."""
    made = trips([Goods("bags", 50, 22.5, 60)], 750, 5000)
    assert [trip.pieces for trip in made] == [{"bags": 33}, {"bags": 17}]
    assert [trip.mass_kg for trip in made] == [742.5, 382.5]


def test_by_hand_room_decides() -> None:
    """50 bags of 60 L in 1000 L: 16 a trip, four trips."""
    made = trips([Goods("bags", 50, 22.5, 60)], 5000, 1000)
    assert [trip.pieces["bags"] for trip in made] == [16, 16, 16, 2]


def test_small_things_fill_what_is_left() -> None:
    """10 bags of 20 kg on 110 kg: five a trip; ten trays of 1 kg ride along with the first."""
    made = trips([Goods("trays", 10, 1, 1), Goods("bags", 10, 20, 10)], 110, 1000)
    assert [trip.pieces for trip in made] == [{"bags": 5, "trays": 10}, {"bags": 5}]


def test_an_exact_fit_is_a_fit() -> None:
    assert len(trips([Goods("cans", 3, 0.1, 0)], 0.3, 1)) == 1


def test_a_bag_bigger_than_all_is_named() -> None:
    with pytest.raises(TooBig) as caught:
        trips([Goods("trays", 3, 1, 1), Goods("bags", 1, 30, 60)], 20, 1000)
    assert caught.value.name == "bags"
    assert trips([Goods("bags", 0, 30, 60)], 20, 1000) == []


@pytest.mark.parametrize(("payload", "room"), [(0, 10), (10, 0), (-1, 10)])
def test_no_vehicle(payload: float, room: float) -> None:
    with pytest.raises(ValueError, match="vehicle"):
        trips([], payload, room)


pieces = st.lists(
    st.tuples(st.integers(0, 60), st.floats(0, 50), st.floats(0, 80)), min_size=1, max_size=4
)


@given(pieces, st.floats(50, 900), st.floats(80, 3000))
def test_all_are_brought_within_both_limits(
    wanted: list[tuple[int, float, float]], payload: float, room: float
) -> None:
    goods = [Goods(f"g{at}", *one) for at, one in enumerate(wanted)]
    made = trips(goods, payload, room)
    for one in goods:
        assert sum(trip.pieces.get(one.name, 0) for trip in made) == one.count
    for trip in made:
        assert trip.mass_kg <= payload * (1 + 1e-6)
        assert trip.volume_l <= room * (1 + 1e-6)
    mass = sum(one.count * one.each_kg for one in goods)
    space = sum(one.count * one.each_l for one in goods)
    assert len(made) >= math.ceil(max(mass / payload, space / room) - 1e-6)
