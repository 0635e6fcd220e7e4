"""Pictures for people who would rather look than read: distance to the live part, pressure at the valve.

Each is a value that `riskhelper.paper` draws and `picture_lines` writes in characters. The ids named here are
those of the shipped rules; where one is missing or has no figure, its picture is left out.
"""

from __future__ import annotations

import math
import textwrap

from riskhelper.interval import Interval
from riskhelper.statement.document import Ink, Lane, Picture, Upright
from riskhelper.statement.figures import figure
from riskhelper.statement.selection import Selection
from riskhelper.units import with_unit

_SIGNS = {Ink.FULL: "#", Ink.OPEN: "o", Ink.HATCHED: "/"}
_LABEL = 22
_LEAST_LANE = 24


def pictures(selection: Selection) -> tuple[Picture, ...]:
    """The pictures of this job: those whose figures are there."""
    found = (distance_picture(selection), pressure_picture(selection))
    return tuple(picture for picture in found if picture is not None)


def distance_picture(selection: Selection) -> Picture | None:
    """From the worker's shoulder to the live part: reach, what is left, and how much must be left."""
    names = ("live.nearest_live_m", "live.arm_reach_m", "live.long_obj_m", "live.clear_m", "live.no_closer_m")
    spans = [selection.span(name) for name in names]
    if any(span is None for span in spans):
        return None
    live, arm, held, clear, no_closer = (span for span in spans if span is not None)
    reach_m = arm.high + held.high
    outer = selection.span("live.outer_m")
    lanes = [
        Lane("Arm", 0.0, arm.high, figure(arm, "m", 0.01)),
        Lane("Held in the hand", arm.high, reach_m, figure(held, "m", 0.01)),
        Lane("Left over: clear", min(reach_m, live.low), max(reach_m, live.low), figure(clear, "m", 0.01), Ink.OPEN),
        Lane("No-closer distance", live.low - no_closer.high, live.low, figure(no_closer, "m", 0.01)),
    ]
    if outer is not None:
        lanes.append(Lane("Outer distance", live.low - outer.high, live.low, figure(outer, "m", 0.01), Ink.OPEN))
    lanes.append(Lane("Live part, as measured", live.low, live.high, figure(live, "m", 0.01), Ink.HATCHED))
    left_m = clear.low - no_closer.high
    if left_m <= 0:
        told = "TOO CLOSE: what is held can come nearer than the no-closer distance."
    elif outer is not None and clear.low < outer.high:
        told = f"At worst {figure(Interval.exactly(left_m), 'm', 0.01)} are left over, inside the outer distance."
    else:
        told = f"At worst {figure(Interval.exactly(left_m), 'm', 0.01)} are left over."
    low_m = min(0.0, *(lane.low for lane in lanes))
    uprights = (Upright(reach_m, "end of reach"), Upright(live.low, "live part"))
    return Picture(
        "From the worker to the live part", "m", low_m, max(lane.high for lane in lanes), tuple(lanes), uprights, told
    )


def pressure_picture(selection: Selection) -> Picture | None:
    """Pressure at the valve: what level and cushion give, how far that may be off, what bleeding takes away."""
    now, after = selection.span("oil.p_kpa"), selection.span("oil.p_after_kpa")
    if now is None or after is None:
        return None
    cushion = selection.span("oil.gas_kpa") or Interval.exactly(0.0)
    level = Interval(now.low - cushion.low, max(now.high - cushion.high, now.low - cushion.low))
    taken = now.low - after.low
    lanes = (
        Lane("Oil level gives", *_from_zero(level), figure(level, "kPa", 0.1)),
        Lane("Cushion gives", *_from_zero(cushion), figure(cushion, "kPa", 0.1)),
        Lane("At the valve now", now.low, now.high, figure(now, "kPa", 0.1), Ink.HATCHED),
        Lane("Bleeding takes away", after.low, now.low, figure(Interval.exactly(taken), "kPa", 0.1), Ink.OPEN),
        Lane("At the valve after it", after.low, after.high, figure(after, "kPa", 0.1), Ink.HATCHED),
    )
    lowest = figure(Interval.exactly(after.low), "kPa", 0.1)
    told = (
        f"At its lowest {lowest}: at or below zero the valve can suck air in. Nobody opens it."
        if after.low <= 0
        else f"At its lowest {lowest}, above zero. A bubble can still rise: pressure does not keep air out."
    )
    ends = [0.0, *(end for lane in lanes for end in (lane.low, lane.high))]
    room = 0.05 * max(max(ends) - min(ends), 1.0)
    low, high = min(*ends, -room), max(ends) + room
    return Picture("Pressure at the valve", "kPa", low, high, lanes, (Upright(0.0, "zero"),), told)


def _from_zero(span: Interval) -> tuple[float, float]:
    """The bar of a part: from zero to its weaker end, or from its lowest end to zero."""
    return (0.0, span.low) if span.low >= 0 else (span.low, 0.0)


def picture_lines(picture: Picture, width: int) -> list[str]:
    """The picture in characters: full bars `#`, open bars `o`, uncertain bands `/`, uprights `|`."""
    behind = max(len(lane.words) for lane in picture.lanes) + 1
    across = max(_LEAST_LANE, width - _LABEL - behind - 2)
    lines = textwrap.wrap(picture.title, width)
    for lane in picture.lanes:
        lines += _lane_lines(picture, lane, across, width)
    foot = [" "] * across
    named = []
    for upright in picture.uprights:
        foot[_place(picture, upright.at, across)] = "^"
        named.append(f"{upright.words} at {with_unit(_shown(upright.at), picture.unit)}")
    lines.append(f"{'':{_LABEL}} {''.join(foot)}".rstrip())
    ends = f"from {_shown(picture.low)} to {with_unit(_shown(picture.high), picture.unit)}; ^ " + ", ^ ".join(named)
    lines += textwrap.wrap(ends, width, initial_indent="  ", subsequent_indent="  ")
    return [*lines, *textwrap.wrap(picture.told, width, initial_indent="  ", subsequent_indent="  ")]


def _lane_lines(picture: Picture, lane: Lane, across: int, width: int) -> list[str]:
    signs = ["."] * across
    for upright in picture.uprights:
        signs[_place(picture, upright.at, across)] = "|"
    if lane.high > lane.low:
        for place in range(_place(picture, lane.low, across), _place(picture, lane.high, across) + 1):
            signs[place] = _SIGNS[lane.ink]
    first = f"{lane.label[:_LABEL]:{_LABEL}} {''.join(signs)}"
    if len(first) + 1 + len(lane.words) <= width:
        return [f"{first} {lane.words}"]
    return [first, *textwrap.wrap(lane.words, width, initial_indent=" " * 4, subsequent_indent=" " * 4)]


def _place(picture: Picture, value: float, across: int) -> int:
    share = (value - picture.low) / (picture.high - picture.low)
    return min(across - 1, max(0, math.floor(share * across)))


def _shown(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".") if value else "0"
