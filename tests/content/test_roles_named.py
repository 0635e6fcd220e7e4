"""Whoever the shipped rules name for a ruling or a release can be vouched for by the site register."""

from __future__ import annotations

import pytest

from riskhelper.permit.named_roles import SECOND_PERSON, roles_named
from tests.content.shipped import rules


def test_every_ruling_is_asked_of_roles_of_the_register() -> None:
    ruled = {name: stop.ruled_by for name, stop in rules().stops.items() if stop.ruled_by}

    assert ruled
    assert [name for name, words in ruled.items() if not roles_named(words)] == []


def test_every_hold_point_is_released_by_a_role_or_a_second_person() -> None:
    points = rules().hold_points.values()

    assert [p.id for p in points if not roles_named(p.released_by) and SECOND_PERSON not in p.released_by] == []


@pytest.mark.parametrize(
    ("point", "roles"),
    [
        ("dead_and_earthed", ("isolator",)),
        ("box_dead", ("licensed electrician",)),
        ("back_in_force", ("control engineer", "protection engineer")),
        ("standing_done", ("owner's transformer engineer",)),
        ("bubble_free", ()),
    ],
)
def test_the_roles_of_a_hold_point_are_read_from_its_words(point: str, roles: tuple[str, ...]) -> None:
    assert roles_named(rules().hold_points[point].released_by) == roles
