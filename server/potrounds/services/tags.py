"""Tags: where a code points to, and what a sheet of tags needs to know."""

from __future__ import annotations

from typing import Any

from potrounds.domain import tag_code
from potrounds.services import town
from potrounds.services.context import Context
from potrounds.services.refusal import Refusal, not_found
from potrounds.store import register
from potrounds.store.register import Tag


def find_tag(code: str) -> Tag | None:
    """The tag of a typed or scanned code, however it was typed."""
    return register.tag(tag_code.fold(code)) if tag_code.is_valid(code) else None


def tag_target(ctx: Context, code: str) -> dict[str, str] | None:
    """The planter a code points to, and whether the tag is still the current one."""
    tag = find_tag(code)
    if tag is None:
        return None
    return {"planter": tag.planter, "state": state_of(tag)}


def state_of(tag: Tag) -> str:
    """current or replaced."""
    return "current" if tag.retired_at is None else "replaced"


def tag_url(address: str, code: str) -> str:
    """What the QR code says: all upper case, which makes a smaller code."""
    return f"{address.upper()}/T/{code}"


def sheet_tags(ctx: Context, planter_ids: list[str] | None) -> list[dict[str, Any]]:
    """The tags of some planters, or of all that are not retired, in the order asked for.

    Raises: Refusal 409 until the town's address is set; 404 for an unknown planter.
    """
    address = town.settings()["tag_address"]
    if not address:
        raise Refusal(
            409,
            "no-tag-address",
            "No address for tags yet",
            "Set the address that phones reach this server at; it is printed on every tag.",
        )
    sites = {site.id: site.name for site in register.sites()}
    rows = {row.id: row for row in register.planters()}
    if planter_ids is None:
        planter_ids = [row.id for row in rows.values() if row.status != "retired"]
    unknown = [one for one in planter_ids if one not in rows]
    if unknown:
        raise not_found("planter")
    tags = register.tags(planter_ids)
    sheet = []
    for planter_id in planter_ids:
        code = next(tag.code for tag in tags[planter_id][::-1] if tag.retired_at is None)
        sheet.append(
            {
                "planter": planter_id,
                "planter_name": rows[planter_id].name,
                "site_name": sites[rows[planter_id].site],
                "code": code,
                "url": tag_url(address, code),
                "display": tag_code.display(code),
            }
        )
    return sheet
