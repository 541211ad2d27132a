"""Plan pictures over the web: taken in like photos, placed by two points, refused in words."""

from __future__ import annotations

import io
from typing import Any

import pytest
from PIL import Image
from werkzeug.test import TestResponse

from speaking import Speaker, Town, assert_problem

HERE, THERE = (46.5031, -38.0068), (46.5032, -38.0055)


def picture(size: tuple[int, int] = (800, 400), kind: str = "PNG", **more: Any) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", size, "white").save(out, kind, **more)
    return out.getvalue()


def send(
    speaker: Speaker, scope: str, data: bytes, kind: str = "image/png", version: int | None = None
) -> TestResponse:
    headers = {} if version is None else {"If-Match": f'"{version}"'}
    path = f"/siteplans/{scope}/picture"
    return speaker.ask("PUT", path, data=data, content_type=kind, headers=headers)


def mark(speaker: Speaker, scope: str, *points: dict[str, Any], version: int = 1) -> TestResponse:
    path = f"/siteplans/{scope}/points"
    return speaker.put(path, {"points": list(points)}, headers={"If-Match": f'"{version}"'})


def typed(x: float, y: float, place: tuple[float, float]) -> dict[str, Any]:
    return {"x": x, "y": y, "of": "typed", "lat": place[0], "lon": place[1]}


def card_of_town(speaker: Speaker) -> dict[str, Any]:
    items = speaker.get("/sync/pull?limit=200").json["items"]
    found: dict[str, Any] = next(one["town"] for one in items if one["what"] == "town")
    return found


@pytest.fixture
def site(town: Town) -> str:
    return str(town.planter["site"])


@pytest.fixture
def there(coordinator: Speaker, site: str) -> dict[str, Any]:
    """A plan picture that is not placed yet."""
    answer = send(coordinator, site, picture())
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.json
    return found


def test_a_picture_comes_to_every_phone(
    coordinator: Speaker, volunteer: Speaker, site: str, there: dict[str, Any]
) -> None:
    assert (there["width"], there["height"], there["version"]) == (800, 400, 1)
    assert (there["points"], there["fit"]) == ([], None)
    assert card_of_town(volunteer)["plans"] == [there]
    photo = volunteer.get(f"/photos/{there['photo']}?size=full")
    assert (photo.status_code, photo.content_type) == (200, "image/jpeg")
    assert len(photo.data) == there["size_bytes"]
    changed = coordinator.get("/register").json["changes"][0]
    assert (changed["what"], changed["id"]) == ("site_plan", site)
    assert changed["after"]["plan_picture"] == "800 x 400"


def test_metadata_stays_behind_and_a_large_picture_is_made_smaller(
    coordinator: Speaker, site: str
) -> None:
    exif = Image.Exif()
    exif[0x010F] = "A maker"
    data = picture((3200, 1000), "JPEG", exif=exif, comment=b"who drew it")
    told = send(coordinator, site, data, "image/jpeg").json
    assert (told["width"], told["height"]) == (1600, 500)
    kept = coordinator.get(f"/photos/{told['photo']}?size=full").data
    with Image.open(io.BytesIO(kept)) as clean:
        assert not clean.getexif()
        assert "comment" not in clean.info


@pytest.mark.parametrize(
    ("data", "kind", "status", "slug"),
    [
        (b"%PDF-1.7 no picture", "image/png", 415, "photo-format"),
        (b"%PDF-1.7", "application/pdf", 415, "photo-format"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "image/svg+xml", 415, "photo-format"),
        (picture((40, 40), "GIF"), "image/png", 415, "photo-format"),
        (picture((9000, 20)), "image/png", 422, "photo-size"),
        (picture((6000, 5000)), "image/png", 422, "photo-size"),
        (picture((900, 60)), "image/png", 422, "photo-size"),
        (picture()[:400], "image/png", 422, "photo-unreadable"),
        (b"", "image/png", 415, "photo-format"),
        (b"\0" * (2 * 1024 * 1024 + 1), "image/png", 413, "too-big"),
    ],
)
def test_what_is_no_plan_picture_is_refused_and_nothing_is_kept(
    coordinator: Speaker, town: Town, site: str, data: bytes, kind: str, status: int, slug: str
) -> None:
    assert_problem(send(coordinator, site, data, kind), status, slug)
    assert coordinator.get("/siteplans").json == {"plans": []}
    folder = town.context.settings.photo_folder
    assert [one for one in folder.rglob("*") if one.is_file()] == []


def test_only_a_coordinator_and_only_for_a_site_that_is_there(
    coordinator: Speaker, volunteer: Speaker, passer_by: Speaker, site: str
) -> None:
    assert_problem(send(volunteer, site, picture()), 403, "coordinator-only")
    assert_problem(send(passer_by, site, picture()), 401, "sign-in-needed")
    assert_problem(send(coordinator, "s-nowhere", picture()), 404, "no-such-site")
    assert send(coordinator, "town", picture()).json["scope"] == "town"


def test_a_picture_is_placed_by_two_points(
    coordinator: Speaker, volunteer: Speaker, site: str, there: dict[str, Any]
) -> None:
    """0.0013 degrees of longitude at 46.5 are 99.8 m (76,753 m a degree, Bowditch's series)."""
    answer = mark(
        coordinator, site, typed(100, 300, (46.5, -38.0)), typed(700, 300, (46.5, -37.9987))
    )
    assert answer.status_code == 200, answer.text
    fit = answer.json["fit"]
    assert fit["apart_m"] == pytest.approx(99.8, abs=0.1)
    assert fit["px_per_m"] == pytest.approx(600 / 99.78, rel=1e-3)
    assert fit["turn_deg"] == pytest.approx(0, abs=1e-6)
    assert (fit["x"], fit["y"]) == pytest.approx((100, 300))
    assert fit["across_m"] == pytest.approx(133.0, abs=0.1)
    assert 5 < fit["doubt_m"] < 5.5
    assert fit["corner_doubt_m"] > fit["doubt_m"]
    assert fit["check_off_m"] is None
    assert answer.json["version"] == 2
    assert card_of_town(volunteer)["plans"] == [answer.json]


def test_a_third_point_only_checks(coordinator: Speaker, site: str, there: dict[str, Any]) -> None:
    two = typed(100, 300, (46.5, -38.0)), typed(700, 300, (46.5, -37.9987))
    placed = mark(coordinator, site, *two).json["fit"]
    off = 10 / placed["north_m"]  # marked on the line, 10 m north of it on the ground
    third = typed(400, 300, (46.5 + off, -37.99935))
    checked = mark(coordinator, site, *two, third, version=2).json["fit"]
    assert checked["check_off_m"] == pytest.approx(10, abs=0.1)
    assert checked["turn_deg"] == placed["turn_deg"]


def test_points_are_planters_and_stay_where_they_stood(
    coordinator: Speaker, town: Town, site: str, there: dict[str, Any]
) -> None:
    planter = town.planter
    lone = {"x": 1, "y": 1, "of": "planter", "id": planter["id"]}
    problem = assert_problem(mark(coordinator, site, lone, typed(700, 9, THERE)), 422, "site-plan")
    assert "has no position" in problem["errors"][0]["detail"]
    coordinator.patch(
        f"/register/planters/{planter['id']}",
        {"lat": HERE[0], "lon": HERE[1]},
        headers={"If-Match": '"1"'},
    )
    kept = mark(coordinator, site, lone, typed(700, 9, THERE)).json
    assert kept["points"][0]["name"] == planter["name"]
    coordinator.patch(
        f"/register/planters/{planter['id']}",
        {"lat": HERE[0] + 0.001, "lon": HERE[1]},
        headers={"If-Match": '"2"'},
    )
    assert coordinator.get("/siteplans").json["plans"][0]["fit"] == kept["fit"]


@pytest.mark.parametrize(
    ("one", "other", "pointer", "words"),
    [
        (typed(100, 100, HERE), typed(104, 103, THERE), "/points/1/x", "one spot of the picture"),
        (typed(100, 100, HERE), typed(700, 300, HERE), "/points/1/id", "0.0 m apart"),
        (
            typed(100, 100, HERE),
            typed(700, 300, (HERE[0] + 1e-5, HERE[1])),
            "/points/1/id",
            "as good as one place",
        ),
        (typed(100, 100, HERE), typed(130, 100, (46.9, -38.5)), "/points/1/id", "cannot be"),
        (typed(100, 100, HERE), typed(801, 100, THERE), "/points/1/x", "outside the picture"),
        (
            typed(100, 100, HERE),
            {"x": 700, "y": 9, "of": "typed", "lat": 46.5},
            "/points/1/lat",
            "Write latitude and longitude",
        ),
        (
            typed(100, 100, HERE),
            {"x": 700, "y": 9, "of": "planter", "id": "p-nothing"},
            "/points/1/id",
            "not in the register",
        ),
        (
            typed(100, 100, HERE),
            {"x": 700, "y": 9, "of": "tap", "id": "w-nothing"},
            "/points/1/id",
            "not in the register",
        ),
    ],
)
def test_points_that_place_nothing_are_refused_in_words(
    coordinator: Speaker,
    site: str,
    there: dict[str, Any],
    one: dict[str, Any],
    other: dict[str, Any],
    pointer: str,
    words: str,
) -> None:
    problem = assert_problem(mark(coordinator, site, one, other), 422, "site-plan")
    assert problem["errors"][0]["pointer"] == pointer
    assert words in problem["errors"][0]["detail"]
    assert coordinator.get("/siteplans").json["plans"] == [there]


def test_one_point_and_no_picture(coordinator: Speaker, site: str, there: dict[str, Any]) -> None:
    assert_problem(mark(coordinator, site, typed(1, 1, HERE)), 422, "fields")
    both = typed(100, 100, HERE), typed(700, 300, THERE)
    assert_problem(mark(coordinator, "town", *both), 404, "no-such-plan-picture")


def test_two_desks_do_not_overwrite_each_other(
    coordinator: Speaker, site: str, there: dict[str, Any]
) -> None:
    both = typed(100, 100, HERE), typed(700, 300, THERE)
    assert mark(coordinator, site, *both).status_code == 200
    assert_problem(mark(coordinator, site, *both), 412, "stale-version")
    assert_problem(send(coordinator, site, picture((500, 500))), 428, "version-needed")
    assert_problem(send(coordinator, site, picture((500, 500)), version=1), 412, "stale-version")
    again = send(coordinator, site, picture((500, 500)), version=2)
    assert (again.json["points"], again.json["fit"], again.json["version"]) == ([], None, 3)
    path = f"/siteplans/{site}"
    assert_problem(
        coordinator.ask("DELETE", path, headers={"If-Match": '"2"'}), 412, "stale-version"
    )
    assert coordinator.ask("DELETE", path, headers={"If-Match": '"3"'}).status_code == 204
    assert coordinator.get("/siteplans").json == {"plans": []}
    assert card_of_town(coordinator)["plans"] == []


def test_a_card_says_where_its_planter_stands(
    coordinator: Speaker, volunteer: Speaker, town: Town
) -> None:
    def place() -> Any:
        items = volunteer.get("/sync/pull?limit=200").json["items"]
        cards = [one["planter"] for one in items if one["what"] == "planter"]
        return next(card["place"] for card in cards if card["id"] == town.planter["id"])

    assert place() is None
    path = f"/register/planters/{town.planter['id']}"
    coordinator.patch(path, {"lat": 48.0, "lon": -38.0}, headers={"If-Match": '"1"'})
    found = place()
    assert (found["lat"], found["lon"]) == (48.0, -38.0)
    assert round(found["east_m"] / 1000, 2) == 74.63  # a chart of WGS 84 lengths


def test_an_erased_plan_picture_is_gone_and_stays_away(
    coordinator: Speaker, site: str, there: dict[str, Any]
) -> None:
    assert coordinator.delete(f"/photos/{there['photo']}").status_code == 204
    assert card_of_town(coordinator)["plans"] == []
    assert send(coordinator, site, picture()).status_code == 410
    (change, *_) = coordinator.get("/register").json["changes"]
    assert change["what"] == "site_plan"
    looked = coordinator.get(f"/register/changes/{change['number']}/undo")
    assert looked.json["possible"] is False
    assert "removed on request" in looked.json["why_not"]
