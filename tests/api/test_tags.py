"""The sheet of tags over the web."""

from __future__ import annotations

import pypdfium2

from speaking import Speaker, Town

ADDRESS = {"tag_address": "https://planters.example"}


def test_no_sheet_before_there_is_an_address(coordinator: Speaker) -> None:
    answer = coordinator.get("/tags.pdf")
    assert (answer.status_code, answer.json["type"]) == (409, "/problems/no-tag-address")


def test_a_sheet_for_all_and_for_some(coordinator: Speaker, town: Town) -> None:
    coordinator.patch("/register/settings", ADDRESS)
    for query in ("", f"?planters={town.planter['id']}&size=large&paper=letter"):
        answer = coordinator.get(f"/tags.pdf{query}")
        assert answer.status_code == 200, answer.text
        assert answer.content_type == "application/pdf"
        document = pypdfium2.PdfDocument(answer.data)
        assert len(document) == 1
        document.close()


def test_what_is_wrong_in_the_query(coordinator: Speaker) -> None:
    coordinator.patch("/register/settings", ADDRESS)
    assert coordinator.get("/tags.pdf?paper=a5").status_code == 400
    assert coordinator.get("/tags.pdf?planters=p-nothing0").status_code == 404
