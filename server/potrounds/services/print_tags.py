"""Tags of planters as a PDF to print, with the address the coordinator chose for them."""

from __future__ import annotations

from potrounds.services import tag_sheet, tags, town
from potrounds.services.context import Context


def sheet_pdf(
    ctx: Context,
    planter_ids: list[str] | None,
    size: tag_sheet.SizeName = "medium",
    paper: tag_sheet.PaperName = "a4",
) -> bytes:
    """A sheet of tags for some planters, or for all that are not retired.

    Raises: Refusal 404 for an unknown planter; 409 while no address for tags is set.
    """
    found = tags.sheet_tags(ctx, planter_ids)
    texts = [tag_sheet.TagText(tag["planter_name"], tag["site_name"], tag["code"]) for tag in found]
    address = town.settings()["tag_address"] or ""
    return tag_sheet.tag_pdf(texts, address=address, size=size, paper=paper)
