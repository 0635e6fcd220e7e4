"""What the entries on permits, points and holding hold, written and read back."""

from __future__ import annotations

from collections.abc import Mapping

from riskhelper.permit.adoption import RuleCourse
from riskhelper.permit.document import Permit, Road
from riskhelper.record.canonical import Content
from riskhelper.record.contents import NotReadable, number_of, text_of
from riskhelper.record.entries import Entry


def permit_content(permit: Permit) -> dict[str, Content]:
    """A new permit as content."""
    return {
        "permit": permit.number,
        "road": permit.road.value,
        "plant": permit.plant,
        "apparatus": permit.apparatus,
        "zone": permit.zone,
        "voltage_v": permit.voltage_v,
        "energies": [*sorted(permit.energies)],
        "points": [*permit.points],
        "prepared_by": [*sorted(permit.prepared_by)],
    }


def permit_read(entry: Entry) -> Permit:
    """The permit that an act of drawing up wrote."""
    content = entry.draft.content
    listed = [content.get(key) for key in ("energies", "points", "prepared_by")]
    if not all(isinstance(each, list) for each in listed):
        raise NotReadable(f"entry {entry.number}: energies, points and those who prepared should be lists")
    energies, points, prepared_by = ([str(word) for word in each] for each in listed if isinstance(each, list))
    return Permit(
        number=text_of(entry, "permit"),
        job=entry.draft.job,
        road=Road(text_of(entry, "road")),
        plant=text_of(entry, "plant"),
        apparatus=text_of(entry, "apparatus"),
        zone=text_of(entry, "zone"),
        voltage_v=number_of(entry, "voltage_v"),
        energies=frozenset(energies),
        points=tuple(points),
        prepared_by=frozenset(prepared_by),
    )


def told_in(entry: Entry) -> Mapping[str, str]:
    """What was written with an act, by name."""
    details = entry.draft.content.get("details")
    if not isinstance(details, dict) or not all(isinstance(text, str) for text in details.values()):
        raise NotReadable(f"entry {entry.number}: `details` should be texts by name")
    return {key: str(text) for key, text in details.items()}


def things_in(entry: Entry) -> dict[str, str]:
    """The plants and points that an entry on the holding names, each with the plant it goes with."""
    things = entry.draft.content.get("things")
    if not isinstance(things, dict):
        raise NotReadable(f"entry {entry.number}: `things` should be plants and points")
    return {thing: str(plant) for thing, plant in things.items()}


def rule_set_read(entry: Entry) -> RuleCourse:
    """A rule set as its first entry names it."""
    parts = entry.draft.content.get("parts")
    if not isinstance(parts, list):
        raise NotReadable(f"entry {entry.number}: `parts` should be a list")
    return RuleCourse(
        digest=text_of(entry, "rules"),
        name=text_of(entry, "name"),
        number=number_of(entry, "number"),
        code=text_of(entry, "code"),
        parts=tuple(map(str, parts)),
    )
