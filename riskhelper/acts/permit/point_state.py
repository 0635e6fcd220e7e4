"""The state of a point in words: what is true of it now, never what is only wanted."""

from __future__ import annotations

from riskhelper.permit.points import Point, PointState


def state_words(point: Point) -> str:
    """The state of a point; one that was found live says so before everything else."""
    return "found live" if point.live is not None else point.state.value


def device_words(point: Point) -> str:
    """Device and position as they are: wanted before it is secured, no longer true once it was put back."""
    device = point.device.replace("_", " ")
    if point.state is PointState.PLANNED:
        return f"{device}, to be {point.position}; nobody has switched it yet"
    if point.state is PointState.RELEASED:
        return f"{device} put back, no longer {point.position}: POWER MAY BE ON"
    return f"{device} {point.position}"


def own_lock(point: Point, owner: str) -> str:
    """An own lock by its number and owner; older entries wrote none."""
    number = point.lock_numbers.get(owner, "")
    return f"{number} of {owner}" if number else owner
