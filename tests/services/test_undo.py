"""Every kind of change goes back to the rows that were there, and forth again.

What "as it was" means is read off the tables themselves, as the archive writes them, not off what
the undo believes. Common practice, no source: that an undo is a change of its own.
"""

from __future__ import annotations

import pytest

from desk import Desk
from potrounds.services import (
    calendar_feed,
    changes_view,
    invites,
    register,
    town,
    undo,
)
from potrounds.store import derived
from potrounds.store import people as people_store
from potrounds.store import register as store
from undo_kinds import KINDS, steps_of, with_step
from undoing import ORIGIN, newest, rows, take_back, why_not


def without_defaults(found: dict[str, list[str]]) -> dict[str, list[str]]:
    """Without rows that say nothing: settings at their default, assets of which nothing is kept."""
    defaults = {repr(sorted({"name": k, "value": v}.items())) for k, v in town.settings().items()}
    return {
        **found,
        "setting": [
            one
            for one in found["setting"]
            if one not in defaults and not one.endswith(("'value', None)]", "'value', {})]"))
        ],
        "asset": [one for one in found["asset"] if "worn" in one or "2027" in one],
    }


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_a_change_goes_back_to_the_rows_there_were_and_forth_again(desk: Desk, kind: str) -> None:
    change = KINDS[kind](desk)
    before, settings = rows(), register.overview(desk.ctx)["settings"]
    count = store.change_count()
    change()
    after, number = rows(), newest()
    assert after != before
    assert store.change_count() > count
    looked = undo.look(desk.ctx, number)
    assert (looked["possible"], looked["in_the_way"]) == (True, [])
    assert rows() == after  # looking changes nothing
    take_back(desk, number)
    assert without_defaults(rows()) == without_defaults(before)
    assert register.overview(desk.ctx)["settings"] == settings
    undone = changes_view.public_changes(store.last_changes(store.change_count() - count))
    assert all(one["undone"] for one in undone if one["undoes"] is None)
    assert "undone already" in why_not(desk, number)
    take_back(desk)  # the undo is a change like any other
    assert without_defaults(rows()) == without_defaults(after)
    assert derived.stale_keys() == []


def test_an_edited_list_goes_back_step_by_step(desk: Desk) -> None:
    first = steps_of(desk)
    with_step(desk, "Lock the cart")
    number = newest()
    with_step(desk, "Sweep the shed")
    take_back(desk, number)
    assert [one["title"] for one in steps_of(desk)] == [
        *(one["title"] for one in first),
        "Sweep the shed",
    ]
    take_back(desk)
    assert {one["title"] for one in steps_of(desk)} == {
        *(one["title"] for one in first),
        "Lock the cart",
        "Sweep the shed",
    }


def test_a_replaced_tag_is_the_current_one_again_and_the_new_one_still_points_there(
    desk: Desk,
) -> None:
    first = register.one_planter(desk.planter)["code"]
    second = register.replace_tag(desk.ctx, desk.planter, "Sun-bleached")["code"]
    take_back(desk)
    now = register.one_planter(desk.planter)
    assert (now["code"], now["old_codes"]) == (first, [second])
    assert desk.card()["code"] == first
    tag = store.tag(second)
    assert tag
    assert (tag.planter, tag.reason) == (desk.planter, "The replacement was undone")
    take_back(desk)
    assert register.one_planter(desk.planter)["code"] == second


def test_a_link_that_was_made_is_taken_back_and_stays_closed(desk: Desk) -> None:
    invites.create_invite(desk.ctx, {"role": "volunteer", "name": "Ana"}, ORIGIN)
    take_back(desk)
    assert people_store.invites()[0].state(desk.ctx.now()) == "revoked"
    assert "stays closed" in why_not(desk)
    calendar_feed.make_link(desk.ctx, {"name": "Kitchen"}, ORIGIN)
    take_back(desk)
    assert calendar_feed.links(desk.ctx)[0]["revoked_at"]
    assert "stays closed" in why_not(desk)
