"""The shapes of plan pictures and of where things stand."""

from __future__ import annotations

from potrounds.api.fields import Choice, Moment, Number, Text, Whole
from potrounds.api.fields_nested import ListOf, Within
from potrounds.api.schemas import Answer, Ask

KNOWN = ("planter", "tap", "typed")
MOST_PX = 8192


class Place(Answer):
    """A position, and the metres in a degree there."""

    lat = Number(says="WGS84, north positive")
    lon = Number(says="WGS84, east positive")
    north_m = Number(says="In a degree of latitude")
    east_m = Number(says="In a degree of longitude")


class KnownPoint(Answer):
    x = Number(says="Pixels from the left edge")
    y = Number(says="Pixels from the upper edge")
    of = Choice(KNOWN)
    id = Text(null=True)
    name = Text()
    lat = Number(says="Where it stood when it was marked")
    lon = Number()


class PictureFit(Place):
    """Metres east and north of lat, lon to pixels: turned, scaled, shifted."""

    px_per_m = Number()
    turn_deg = Number(says="Where north points, clockwise from up")
    x = Number(says="Pixel of lat, lon")
    y = Number()
    apart_m = Number(says="Between the two known points")
    across_m = Number(says="What the picture shows from left to right")
    doubt_m = Number(says="At a known point: its position and the finger")
    corner_doubt_m = Number(says="At the worst corner")
    check_off_m = Number(null=True, says="How far the third point falls off; null: none marked")


class SitePlan(Answer):
    scope = Text(says='Id of a site, or "town"')
    photo = Text(says="Its address among the photos: SHA-256 of the bytes sent")
    width = Whole()
    height = Whole()
    size_bytes = Whole()
    version = Whole()
    at = Moment()
    points = ListOf(KnownPoint)
    fit = Within(PictureFit, null=True, says="null: its points are not marked yet")


class SitePlans(Answer):
    plans = ListOf(SitePlan)


class PointBody(Ask):
    x = Number(0, MOST_PX)
    y = Number(0, MOST_PX)
    of = Choice(KNOWN)
    id = Text(40, null=True, optional=True, says="Of the planter or tap")
    lat = Number(-90, 90, null=True, optional=True, says="Of a typed point")
    lon = Number(-180, 180, null=True, optional=True)


class PointsBody(Ask):
    points = ListOf(PointBody, 3, least=2, says="Two place the picture, a third one checks it")
