"""Undo over the web, and what asks for a password typed just now."""

from __future__ import annotations

from potrounds.api.access import CHANGE_HEADER
from speaking import PASSWORD, Speaker, Town, assert_problem


def test_an_edit_names_its_change_and_the_change_is_undone(
    coordinator: Speaker, volunteer: Speaker, town: Town
) -> None:
    path = f"/register/planters/{town.planter['id']}"
    version = coordinator.get("/register").json["planters"][0]["version"]
    edit = coordinator.patch(path, {"notes": "Door side"}, headers={"If-Match": f'"{version}"'})
    number = int(edit.headers[CHANGE_HEADER])
    assert CHANGE_HEADER not in coordinator.get("/register").headers
    undo = f"/register/changes/{number}/undo"
    looked = coordinator.get(undo)
    assert CHANGE_HEADER not in looked.headers
    assert (looked.json["possible"], looked.json["why_not"]) == (True, None)
    assert [one["number"] for one in looked.json["changes"]] == [number]
    assert_problem(coordinator.post(undo, {"mark": "stale"}), 412, "stale-version")
    done = coordinator.post(undo, {"mark": looked.json["mark"]})
    assert done.status_code == 201
    assert int(done.headers[CHANGE_HEADER]) == done.json["changes"][0]["number"]
    assert done.json["changes"][0]["undoes"] == number
    newest, older = coordinator.get("/register/changes").json["changes"][:2]
    assert (newest["undoes"], newest["by"]) == (number, "Corin")
    assert older["undone"] == {
        "number": newest["number"],
        "by": "Corin",
        "at": "2026-05-04T08:00:00.000Z",
    }
    again = coordinator.get(undo).json
    assert not again["possible"]
    assert_problem(coordinator.post(undo, {"mark": again["mark"]}), 409, "cannot-undo")
    for who, status in ((volunteer, 403),):
        assert who.get(undo).status_code == status
        assert who.post(undo, {"mark": "x"}).status_code == status
        assert who.get("/register/changes").status_code == status


def test_what_was_edited_since_is_overwritten_only_when_that_is_said(
    coordinator: Speaker, town: Town
) -> None:
    site = f"/register/sites/{town.site}"
    first = coordinator.patch(site, {"freeze_on": "2026-10-01"})
    number = int(first.headers[CHANGE_HEADER])
    coordinator.patch(site, {"freeze_on": "2026-10-20"})
    undo = f"/register/changes/{number}/undo"
    looked = coordinator.get(undo).json
    (found,) = looked["in_the_way"]
    assert (found["key"], found["now"]) == ("freeze_on", {"freeze_on": "2026-10-20"})
    problem = assert_problem(coordinator.post(undo, {"mark": looked["mark"]}), 409, "edited-since")
    assert problem["errors"][0]["pointer"] == "/overwrite"
    done = coordinator.post(undo, {"mark": looked["mark"], "overwrite": True})
    assert done.status_code == 201


def test_a_change_that_is_not_there_and_bad_questions(coordinator: Speaker) -> None:
    assert_problem(coordinator.get("/register/changes/9999999/undo"), 404, "no-such-change")
    assert coordinator.get("/register/changes/x/undo").status_code == 404
    assert_problem(coordinator.get("/register/changes?order=sideways"), 400, "fields")
    assert_problem(coordinator.get("/register/changes?since=yesterday"), 400, "fields")
    assert_problem(coordinator.get("/register/changes?who=me"), 400, "fields")
    found = coordinator.get("/register/changes?what=site&order=oldest&after=0")
    assert {one["what"] for one in found.json["changes"]} == {"site"}


def test_the_archive_asks_for_a_password_typed_just_now(coordinator: Speaker) -> None:
    """OWASP ASVS 4.0.3, 3.7.1. A sign-in counts; five minutes later it does no more."""
    assert coordinator.get("/archive.zip").status_code == 200
    coordinator.clock.tick(minutes=5)
    assert_problem(coordinator.get("/archive.zip"), 403, "password-needed")
    wrong = coordinator.post("/password", {"password": "not the password at all"})
    assert_problem(wrong, 403, "wrong-password")
    assert_problem(coordinator.get("/archive.zip"), 403, "password-needed")
    assert coordinator.post("/password", {"password": PASSWORD}).status_code == 204
    assert coordinator.get("/archive.zip").status_code == 200
    assert coordinator.get("/me").status_code == 200  # a wrong one signs nobody out


def test_guesses_are_slowed_down_like_a_sign_in(coordinator: Speaker) -> None:
    for _ in range(5):
        assert coordinator.post("/password", {"password": "a wrong password"}).status_code == 403
    answer = coordinator.post("/password", {"password": PASSWORD})
    assert_problem(answer, 429, "too-many-tries")
    assert int(answer.headers["Retry-After"]) >= 1


def test_nobody_sets_a_password_on_an_open_laptop(coordinator: Speaker) -> None:
    coordinator.clock.tick(minutes=6)
    new = {"name": "Dora", "role": "coordinator", "password": "fifteen and more"}
    assert_problem(coordinator.post("/register/people", new), 403, "password-needed")
    me = coordinator.get("/me").json["person"]["id"]
    change = {"password": "fifteen and more"}
    answer = coordinator.patch(f"/register/people/{me}", change)
    assert_problem(answer, 403, "password-needed")
    del new["password"]
    assert coordinator.post("/register/people", new).status_code == 201


def test_who_joined_with_a_link_has_no_password_to_type(
    coordinator: Speaker, passer_by: Speaker
) -> None:
    asked = {"role": "coordinator", "name": "Ines"}
    link = coordinator.post("/register/invites", asked).json["url"]
    assert passer_by.join(link.split("#")[1], "Ines").status_code == 201
    answer = passer_by.post("/password", {"password": "anything at all"})
    assert "no password yet" in assert_problem(answer, 409, "no-password")["detail"]
    assert_problem(passer_by.get("/archive.zip"), 403, "password-needed")


def test_a_volunteer_is_not_asked_for_a_password(volunteer: Speaker) -> None:
    assert volunteer.post("/password", {"password": "anything at all"}).status_code == 403
