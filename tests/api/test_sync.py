"""Push and pull over the web (R5 to R8, R11, R12, R17)."""

from __future__ import annotations

import json
import uuid
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from potrounds.api.items import read_item
from potrounds.api.schemas_sync import PullAnswer, PushAnswer
from potrounds.domain.records import KINDS
from potrounds.services.refusal import ItemRefused
from speaking import HandClock, Speaker, Town


def pulled(speaker: Speaker, what: str) -> list[dict[str, Any]]:
    """Everything of one sort that this person may see."""
    items = speaker.get("/sync/pull").json["items"]
    return [item[what] for item in items if item["what"] == what]


def test_R7_the_answer_echoes_the_batch(volunteer: Speaker, town: Town) -> None:
    asked = volunteer.envelope(volunteer.record(town.planter["id"]))
    answer = volunteer.post("/sync/push", asked)
    assert answer.content_type == "application/json"
    assert answer.headers["Cache-Control"] == "no-store"
    assert answer.json["proto"] == "sync/1"
    assert answer.json["batch"] == asked["batch"]
    assert answer.json["server_time"] == "2026-05-04T08:00:00.000Z"
    assert PushAnswer().validate(answer.json) == {}


def test_R5_the_same_bytes_again_are_a_duplicate(volunteer: Speaker, town: Town) -> None:
    text = volunteer.record(town.planter["id"])
    assert [volunteer.push(text)[0]["outcome"] for _ in range(3)] == [
        "stored",
        "duplicate",
        "duplicate",
    ]


def test_R5_the_same_id_with_other_bytes_is_held(volunteer: Speaker, town: Town) -> None:
    text = volunteer.record(town.planter["id"])
    assert volunteer.push(text, text.replace("0.5", "0.25"))[1]["outcome"] == "held"
    own = pulled(volunteer, "record")
    assert [record["text"] for record in own if record["outcome"] == "stored"] == [text]


def test_R8_what_a_later_app_wrote_is_held(volunteer: Speaker, town: Town) -> None:
    newer = volunteer.record(town.planter["id"], v=2, body={"anything": [1]})
    unheard = volunteer.record(town.planter["id"], kind="weighing", body={"kg": 40})
    assert [result["outcome"] for result in volunteer.push(newer, unheard)] == ["held", "held"]


def test_B33_an_unknown_planter_is_held(volunteer: Speaker) -> None:
    assert volunteer.push(volunteer.record("p-nobody00"))[0]["outcome"] == "held"


def test_B36_a_volunteer_corrects_only_their_own(
    volunteer: Speaker, coordinator: Speaker, town: Town
) -> None:
    text = coordinator.record(town.planter["id"])
    coordinator.push(text)
    body = {"replaces": json.loads(text)["id"], "check_in": {"level": 1}}
    answer = volunteer.push(volunteer.record(town.planter["id"], "correction", body))[0]
    assert answer["outcome"] == "rejected"
    assert answer["problem"]["type"] == "/problems/not-your-record"


def test_a_volunteer_decides_nothing(volunteer: Speaker, town: Town) -> None:
    body = {"flag": "running_dry", "decision": "seen"}
    answer = volunteer.push(volunteer.record(town.planter["id"], "decision", body))[0]
    assert (answer["outcome"], answer["problem"]["type"]) == (
        "rejected",
        "/problems/coordinator-only",
    )


def test_a_report_is_made_by_the_server_only(volunteer: Speaker, town: Town) -> None:
    answer = volunteer.push(volunteer.record(town.planter["id"], "report", {"what": "dry"}))[0]
    assert answer["problem"]["type"] == "/problems/server-only"


def test_handing_over_names_a_person(coordinator: Speaker, town: Town) -> None:
    body = {"flag": "running_dry", "decision": "handed"}
    answer = coordinator.push(coordinator.record(town.planter["id"], "decision", body))[0]
    assert answer["problem"]["errors"][0]["pointer"] == "/body/to"


def test_T12_a_foreign_device_is_refused(volunteer: Speaker, town: Town) -> None:
    asked = volunteer.envelope(volunteer.record(town.planter["id"]), device=str(uuid.uuid4()))
    answer = volunteer.post("/sync/push", asked)
    assert (answer.status_code, answer.json["type"]) == (403, "/problems/other-device")


def test_R12_a_constant_clock_error_cancels(
    volunteer: Speaker, town: Town, clock: HandClock
) -> None:
    """Seen an hour before sending, by a clock ten years ahead: one hour before arrival."""
    asked = volunteer.envelope(
        volunteer.record(town.planter["id"], wall="2036-05-04T07:00:00Z"),
        sent_at="2036-05-04T08:00:00Z",
    )
    assert volunteer.post("/sync/push", asked).json["results"][0]["outcome"] == "stored"
    record = pulled(volunteer, "record")[0]
    assert (record["at"], record["time_uncertain"]) == ("2026-05-04T07:00:00.000Z", False)


def test_a_phone_gets_every_planter_the_town_and_its_own_records(
    volunteer: Speaker, coordinator: Speaker, town: Town
) -> None:
    coordinator.push(coordinator.record(town.planter["id"]))
    text = volunteer.record(town.planter["id"])
    volunteer.push(text)
    assert {card["name"] for card in pulled(volunteer, "planter")} == {"Quay 1", "Quay 2"}
    assert [card["name"] for card in pulled(volunteer, "town")] == ["Osier Bend"]
    assert [record["text"] for record in pulled(volunteer, "record")] == [text]


def test_the_pull_answer_has_the_shape_it_promises(volunteer: Speaker, town: Town) -> None:
    body = {"level": 0, "plants": 2, "signs": ["wilting"], "note": "dry", "photos": ["a" * 64]}
    volunteer.push(volunteer.record(town.planter["id"], body=body))
    answer = volunteer.get("/sync/pull")
    assert PullAnswer().validate(answer.json) == {}


def test_no_key_of_a_card_is_lost_on_the_way(volunteer: Speaker, town: Town) -> None:
    """The schema picks the keys that leave; a key the services make must be one of them."""
    from potrounds.services import sync
    from potrounds.services.context import Caller
    from potrounds.store import database

    volunteer.push(volunteer.record(town.planter["id"], body={"level": 0, "plants": 1}))
    answer = volunteer.get("/sync/pull").json
    person = volunteer.get("/me").json["person"]
    caller = Caller("", person["id"], person["name"], person["role"], volunteer.device)
    with database.connection():
        made = sync.pull(town.context.with_caller(caller), None)
    assert json.loads(json.dumps(made)) == answer


def test_R17_pages_follow_the_cursor(volunteer: Speaker, town: Town) -> None:
    for _ in range(3):
        volunteer.push(volunteer.record(town.planter["id"]))
    whole = volunteer.get("/sync/pull").json["items"]
    paged, since = [], None
    for _ in range(20):
        query = {"limit": 2} | ({"since": since} if since else {})
        answer = volunteer.get("/sync/pull", query_string=query).json
        paged += answer["items"]
        since = answer["cursor"]
        if not answer["more"]:
            break
    assert paged == whole
    assert [item["seq"] for item in whole] == sorted({item["seq"] for item in whole})
    assert volunteer.get("/sync/pull", query_string={"since": since}).json["items"] == []


@given(
    st.text(max_size=200)
    | st.builds(
        json.dumps,
        st.dictionaries(
            st.sampled_from(["v", "id", "kind", "planter", "device", "n", "wall", "body"]),
            st.sampled_from([1, "x", None, [], {}, str(uuid.UUID(int=7)), *KINDS]),
        ),
    )
)
def test_R11_no_text_breaks_the_reader(text: str) -> None:
    """Whatever stands in an item, it is read or refused with a reason; nothing else comes out."""
    refusal, found = None, None
    try:
        found = read_item(text)
    except ItemRefused as refused:
        refusal = refused
    if refusal is not None:
        assert refusal.problem()["errors"]
    else:
        assert isinstance(found["body"], dict)
        assert isinstance(found["wall"], str)
