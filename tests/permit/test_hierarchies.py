"""Published hierarchies of control against the order in which this program offers kinds and controls."""

from __future__ import annotations

import tomllib
from pathlib import Path

from riskhelper.terms import ControlKind

HERE = Path(__file__).parent
CASES = {c["id"]: c for c in tomllib.loads((HERE / "published.toml").read_text(encoding="utf-8"))["case"]}
AT_HEIGHT = {
    ControlKind.ELIMINATION: "avoid",
    ControlKind.SUBSTITUTION: "prevent",
    ControlKind.ENGINEERING: "prevent",
    ControlKind.ADMINISTRATIVE: "minimise",
    ControlKind.PPE: "minimise",
}
"""What each kind of the shipped controls at height does: a stand with rails, a rail and a short line prevent."""


def test_kinds_stand_in_the_order_of_the_standard() -> None:
    assert [kind.value for kind in ControlKind] == CASES["hierarchy-45001"]["sorted"]


def test_controls_at_height_are_offered_in_the_order_of_the_regulation() -> None:
    shipped = tomllib.loads((HERE.parent.parent / "rules" / "height.toml").read_text(encoding="utf-8"))["control"]
    ranks = list(ControlKind)
    kinds = sorted((ControlKind(each["kind"]) for each in shipped["height"].values()), key=ranks.index)

    assert list(dict.fromkeys(AT_HEIGHT[kind] for kind in kinds)) == CASES["hierarchy-height-uk"]["sorted"]
