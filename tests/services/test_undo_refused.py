"""What stands in the way of an undo, and what cannot be undone, is said; the list of changes."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

import pytest

from desk import Desk, a_photo
from house.repository import ROOT
from potrounds.services import (
    changes_view,
    history_csv,
    people,
    plan_register,
    register,
    seasons,
    undo,
)
from potrounds.services.refusal import Refusal
from potrounds.store import database, photos
from potrounds.store import people as people_store
from potrounds.store import register as store
from undo_kinds import a_person, a_scheme, end_person, with_step
from undoing import edit, newest, refusal, take_back, version_of, why_not

# --- what was edited since -----------------------------------------------------------------------


def test_a_later_edit_of_the_same_value_is_named_and_not_lost(desk: Desk) -> None:
    pilar = desk.join("Pilar", "coordinator")
    edit(desk, notes="First")
    number = newest()
    version = version_of(desk)
    register.change_planter(pilar.ctx, desk.planter, {"notes": "Second"}, version)
    (found,) = undo.look(desk.ctx, number)["in_the_way"]
    assert (found["key"], found["now"], found["back"]) == (
        "notes",
        {"notes": "Second"},
        {"notes": ""},
    )
    assert (found["by"], found["number"]) == ("Pilar", newest())
    problem = refusal(desk, number)
    assert (problem.status, problem.slug) == (409, "edited-since")
    assert problem.errors == [("/overwrite", "Ferry landing 1: notes is Second, changed by Pilar.")]
    assert register.one_planter(desk.planter)["notes"] == "Second"
    take_back(desk, number, overwrite=True)
    assert register.one_planter(desk.planter)["notes"] == ""
    take_back(desk)  # and what was overwritten is there again
    assert register.one_planter(desk.planter)["notes"] == "Second"


def test_a_later_edit_of_another_value_stays(desk: Desk) -> None:
    edit(desk, notes="First")
    number = newest()
    edit(desk, reservoir_l=30.0)
    assert undo.look(desk.ctx, number)["in_the_way"] == []
    take_back(desk, number)
    found = register.one_planter(desk.planter)
    assert (found["notes"], found["reservoir_l"]) == ("", 30.0)


def test_what_changed_since_it_was_looked_at_stops_the_undo(desk: Desk) -> None:
    edit(desk, notes="First")
    number = newest()
    mark = undo.look(desk.ctx, number)["mark"]
    edit(desk, notes="Second")
    with pytest.raises(Refusal) as caught:
        undo.undo(desk.ctx, number, mark, overwrite=True)
    assert caught.value.status == 412
    assert register.one_planter(desk.planter)["notes"] == "Second"


def test_a_scheme_put_back_does_not_quietly_take_planters_from_another(desk: Desk) -> None:
    first = a_scheme(desk, "Red", (desk.planter,))
    plan_register.drop_scheme(desk.ctx, first["id"])
    number = newest()
    a_scheme(desk, "Blue", (desk.planter, desk.other_planter))
    (found,) = undo.look(desk.ctx, number)["in_the_way"]
    assert (found["name"], found["now"], found["back"]) == (
        "Blue",
        {"planters": ["Ferry landing 1", "Ferry landing 2"]},
        {"planters": ["Ferry landing 2"]},
    )
    assert refusal(desk, number).slug == "edited-since"


def test_values_put_back_by_hand_leave_nothing_to_undo(desk: Desk) -> None:
    edit(desk, notes="First")
    number = newest()
    edit(desk, notes="")
    assert "as it was before" in why_not(desk, number)


def test_a_name_taken_since_is_said(desk: Desk) -> None:
    edit(desk, name="Quay 1")
    number = newest()
    desk.add_planter("Ferry landing 1")
    assert "already one called Ferry landing 1" in why_not(desk, number)


# --- what cannot be undone says so ---------------------------------------------------------------


def test_a_used_invite_and_the_person_who_came_with_it_stay(desk: Desk) -> None:
    end_person(desk)
    numbers = {one.what: one.id for one in store.last_changes(10)}
    assert "joined with an invite" in why_not(desk, numbers["person"])
    by_time = [one.id for one in store.last_changes(10) if one.what == "invite"]
    assert "Ana joined with it" in why_not(desk, min(by_time))
    desk.clock.tick(hours=73)
    assert "run out by itself" in why_not(desk, max(by_time))


def test_somebody_who_has_recorded_is_not_taken_off(desk: Desk) -> None:
    vera = desk.join("Vera")
    number = newest()
    vera.push(vera.record())
    assert "End the membership" in why_not(desk, number)


def test_a_burned_phone_and_a_password_stay(desk: Desk) -> None:
    end_person(desk)
    people.burn_phone(desk.ctx, people_store.phones()[0].id)
    assert "burned phone stays shut out" in why_not(desk)
    people.change_person(desk.ctx, a_person(desk), {"password": "a long enough phrase"})
    assert "Set a new one" in why_not(desk)
    ines = people_store.person_named("Ines")
    assert ines
    people.change_person(desk.ctx, ines.id, {"password": "another long enough one"})
    assert "Set a new one" in why_not(desk)  # with who and when, though only the secret changed


def test_an_erased_picture_stays_erased(desk: Desk) -> None:
    vera = desk.join("Vera")
    data = a_photo()
    sha = vera.named_photo(data)
    vera.put_photo(data, sha)
    edit(desk, picture=sha)
    edit(desk, picture=None)
    number = newest()
    assert undo.look(desk.ctx, number)["possible"]
    with database.write_transaction():
        database.db.execute_sql("update photo set state = 'erased' where sha = ?", (sha,))
    assert photos.find(sha).state == "erased"  # type: ignore[union-attr]
    assert "was erased, for good" in why_not(desk, number)


def test_a_planter_with_records_is_retired_instead(desk: Desk) -> None:
    new = desk.add_planter("New")
    number = newest()
    vera = desk.join("Vera")
    vera.push(vera.record(planter=new))
    assert "retired or lost instead" in why_not(desk, number)


def test_a_site_with_planters_stays(desk: Desk) -> None:
    yard = register.add_site(desk.ctx, {"name": "Yard"})["id"]
    number = newest()
    edit(desk, site=yard)
    assert "Yard has Ferry landing 1" in why_not(desk, number)


def test_records_told_rounds_and_seasons_have_ways_of_their_own(desk: Desk) -> None:
    visits = b"planter,day,level\nFerry landing 1,2026-04-20,half\n"
    assert history_csv.import_visits(desk.ctx, visits, False)["created"] == 1
    assert "no record is ever taken away" in why_not(desk)
    found = seasons.overview(desk.ctx)["open"][0]
    seasons.close(desk.ctx, str(found["year"]), found["open_count"])
    assert "has its own way back" in why_not(desk)


def test_a_change_of_before_the_values_were_kept_says_so(desk: Desk) -> None:
    with_step(desk, "Lock the cart")
    with database.write_transaction():
        database.db.execute_sql("delete from change_kept")
    assert "before the earlier values were kept" in why_not(desk)


def test_a_change_that_is_not_there_is_not_found(desk: Desk) -> None:
    with pytest.raises(Refusal) as caught:
        undo.look(desk.ctx, 99999)
    assert caught.value.status == 404


def test_every_kind_of_change_has_its_way_back_or_its_words() -> None:
    """Read off the sources, so that a new kind cannot be forgotten."""
    noted: set[str] = set()
    for file in (ROOT / "server" / "potrounds" / "services").glob("*.py"):
        noted |= set(re.findall(r'changes\.note\(\s*ctx,\s*"([a-z_-]+)"', file.read_text("utf-8")))
    assert {"site", "planter", "weather", "scheme"} <= noted
    assert noted <= set(undo.WAYS) | set(undo.NEVER)


# --- the list ------------------------------------------------------------------------------------


def test_the_list_is_looked_through_by_words_kind_person_and_day(desk: Desk) -> None:
    pilar = desk.join("Pilar", "coordinator")
    edit(desk, notes="By the Stairs")
    desk.clock.tick(days=2)
    register.add_site(pilar.ctx, {"name": "Stairs"})

    def names(**asked: Any) -> list[str]:
        return [one["what"] for one in changes_view.page(**asked)["changes"]]

    assert names(search="stairs") == ["site", "planter"]
    assert names(search="STAIRS ferry") == ["planter"]
    assert names(what="site") == ["site", "site"]
    assert names(by=pilar.person) == ["site"]
    assert names(by="server", search="stairs") == ["planter"]
    assert names(search="stairs", since=date(2026, 5, 5)) == ["site"]
    assert names(search="stairs", until=date(2026, 5, 5)) == ["planter"]
    assert names(search="stairs", oldest_first=True) == ["planter", "site"]


def test_the_list_comes_in_pages(desk: Desk) -> None:
    for number in range(60):
        edit(desk, notes=f"Note {number}")
    first = changes_view.page(what="planter")
    assert (len(first["changes"]), first["more"]) == (50, True)
    second = changes_view.page(what="planter", after=first["changes"][-1]["number"])
    assert second["more"] is False
    numbers = [one["number"] for one in (*first["changes"], *second["changes"])]
    assert numbers == sorted(set(numbers), reverse=True)
    assert len(numbers) == 62  # and the two planters of the desk
