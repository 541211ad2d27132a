"""Planting day: sizes, schemes and materials, the plan itself, and planters as assets."""

from __future__ import annotations

from typing import Any

from potrounds.api.access import context
from potrounds.api.blueprint import Blueprint
from potrounds.api.register import IF_MATCH, read_version
from potrounds.api.schemas_plan import (
    Asset,
    AssetBody,
    Materials,
    MaterialsBody,
    PlanRegister,
    PlanterSize,
    PlantingScheme,
    SchemeBody,
    SizeBody,
    SwapBody,
)
from potrounds.api.schemas_planting_day import PlanQuery, PlantingPlan
from potrounds.services import assets, materials, plan_register, planting_plan

blp = Blueprint("plan", __name__, url_prefix="/api/v1/plan", description="Planting day, assets")


@blp.route("")
@blp.response(200, PlanRegister)
def overview() -> dict[str, Any]:
    """Sizes, schemes, materials, assets and what of them falls due."""
    return plan_register.overview(context())


@blp.route("/planting")
@blp.query(PlanQuery)
@blp.response(200, PlantingPlan)
def planting_day(asked: dict[str, Any]) -> dict[str, Any]:
    """The plan of planting day for everything, a site or a planter."""
    return planting_plan.plan(context(), asked.get("scope", planting_plan.ALL))


@blp.route("/sizes", methods=["POST"])
@blp.arguments(SizeBody)
@blp.response(201, PlanterSize)
def add_size(asked: dict[str, Any]) -> dict[str, Any]:
    """Add a size; what is unlikely is asked back."""
    return plan_register.put_size(context(), None, asked, None)


@blp.route("/sizes/<string:size>", methods=["PUT"], parameters=[IF_MATCH])
@blp.arguments(SizeBody)
@blp.response(200, PlanterSize)
@blp.alt_response(412, "PRECONDITION_FAILED")
@blp.alt_response(428, "PRECONDITION_REQUIRED")
def change_size(asked: dict[str, Any], size: str) -> dict[str, Any]:
    """Change a size, from the version that was read."""
    return plan_register.put_size(context(), size, asked, read_version())


@blp.route("/sizes/<string:size>", methods=["DELETE"])
@blp.response(204)
def drop_size(size: str) -> None:
    """Take a size off the register; planters keep its name."""
    plan_register.drop_size(context(), size)


@blp.route("/schemes", methods=["POST"])
@blp.arguments(SchemeBody)
@blp.response(201, PlantingScheme)
def add_scheme(asked: dict[str, Any]) -> dict[str, Any]:
    """Add a planting scheme and say who gets it."""
    return plan_register.put_scheme(context(), None, asked, None)


@blp.route("/schemes/<string:scheme>", methods=["PUT"], parameters=[IF_MATCH])
@blp.arguments(SchemeBody)
@blp.response(200, PlantingScheme)
@blp.alt_response(412, "PRECONDITION_FAILED")
@blp.alt_response(428, "PRECONDITION_REQUIRED")
def change_scheme(asked: dict[str, Any], scheme: str) -> dict[str, Any]:
    """Change a planting scheme and who gets it, from the version that was read."""
    return plan_register.put_scheme(context(), scheme, asked, read_version())


@blp.route("/schemes/<string:scheme>", methods=["DELETE"])
@blp.response(204)
def drop_scheme(scheme: str) -> None:
    """Take a planting scheme off the register."""
    plan_register.drop_scheme(context(), scheme)


@blp.route("/materials", methods=["PUT"], parameters=[IF_MATCH])
@blp.arguments(MaterialsBody)
@blp.response(200, Materials)
@blp.alt_response(412, "PRECONDITION_FAILED")
@blp.alt_response(428, "PRECONDITION_REQUIRED")
def put_materials(asked: dict[str, Any]) -> dict[str, Any]:
    """Change what is bought and what the shed holds, from the version that was read."""
    return materials.put(context(), asked, read_version())


@blp.route("/planters/<string:planter>/asset", methods=["PUT"], parameters=[IF_MATCH])
@blp.arguments(AssetBody)
@blp.response(200, Asset)
@blp.alt_response(412, "PRECONDITION_FAILED")
@blp.alt_response(428, "PRECONDITION_REQUIRED")
def put_asset(asked: dict[str, Any], planter: str) -> dict[str, Any]:
    """Change a planter's warranty, condition and next inspection."""
    return assets.put_asset(context(), planter, asked, read_version())


@blp.route("/planters/<string:planter>/swap", methods=["POST"])
@blp.arguments(SwapBody)
@blp.response(204)
def swap(asked: dict[str, Any], planter: str) -> None:
    """Let two planters change places; tags and histories stay with them."""
    assets.swap(context(), planter, asked["other"])
