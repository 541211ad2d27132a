"""What the coordinator does before a round: who goes out, and the plan told."""

from __future__ import annotations

from typing import Any

from phone import Phone

CALL = """async ([method, path, body, headers]) => {
  const how = {method, headers: {'Content-Type': 'application/json', ...headers}};
  if (body !== null) how.body = JSON.stringify(body);
  const answer = await fetch('/api/v1' + path, how);
  const text = await answer.text();
  return {status: answer.status, body: text ? JSON.parse(text) : null};
}"""
EVERY_DAY = list(range(7))


def call(desk: Phone, method: str, path: str, body: Any = None, **headers: str) -> Any:
    """One call of the coordinator's, from the signed-in page."""
    sent = {name.replace("_", "-"): value for name, value in headers.items()}
    answer = desk.page.evaluate(CALL, [method, path, body, sent])
    assert answer["status"] < 300, answer
    return answer["body"]


def person(desk: Phone, name: str) -> str:
    """The id of somebody of that name."""
    people = call(desk, "GET", "/register")["people"]
    return next(str(one["id"]) for one in people if one["name"] == name)


def goes_out(desk: Phone, name: str, **more: Any) -> str:
    """Put somebody on the crew, on every day; gives the person's id."""
    who = person(desk, name)
    body = {"weekdays": EVERY_DAY, "minutes": 240, "mode": "foot"} | more
    call(desk, "PUT", f"/rounds/crew/{who}", body)
    return who


def nobody_goes_out(desk: Phone) -> None:
    """Take everybody off the crew."""
    for one in call(desk, "GET", "/rounds/crew")["crew"]:
        call(desk, "DELETE", f"/rounds/crew/{one['person']}")


def tell(desk: Phone) -> None:
    """Plan, and tell the crew what was planned."""
    plan = call(desk, "POST", "/rounds/plan", {})
    call(desk, "POST", "/rounds/tell", {"mark": plan["mark"]})
