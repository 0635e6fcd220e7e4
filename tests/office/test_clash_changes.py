"""INX-04: a change of the pairs of kinds of work is told with its direction, however the pair is written."""

from __future__ import annotations

from functools import cache

from riskhelper.office.clash_changes import clash_changes
from riskhelper.office.direction import Direction
from riskhelper.ruleset.model import RuleSet
from riskhelper.ruleset.reading import load_rules
from tests.ruleset.test_bad_files import GOOD

STRICTER, LOOSER, DIFFERENT = Direction.STRICTER, Direction.LOOSER, Direction.DIFFERENT
FILE, SIGN = "clashes.toml", 'safeguards = ["Agree on a sign."]'


@cache
def good() -> RuleSet:
    return load_rules(GOOD, "dale", prove_guards=False)


def changed(section: str, was: str, now: str) -> list[tuple[str, Direction]]:
    """Differences after one pair below a heading is written otherwise."""
    head, found, rest = GOOD[FILE].decode().partition(f"[clash.{section}]\n")
    assert found
    assert was in rest
    text = head + found + rest.replace(was, now, 1)
    new = load_rules({**GOOD, FILE: text.encode()}, "dale", prove_guards=False)
    return [(one.name, one.direction) for one in clash_changes(good(), new)]


def test_a_ban_that_comes_or_goes_and_safeguards_that_come_or_go_are_told_with_their_direction() -> None:
    ban = 'oil = { ban = true, because = "the mill is small" }'
    assert changed("oil", ban, f'oil = {{ {SIGN}, because = "a sign" }}') == [("oil.oil", LOOSER)]
    assert changed("oil", SIGN, "ban = true") == [("oil.noise", STRICTER)]
    assert changed("oil", SIGN, 'safeguards = ["Agree on a sign.", "A lamp."]') == [("oil.noise", STRICTER)]
    assert changed("movement", '["A signaller leads."]', '["A horn."]') == [("movement.noise", DIFFERENT)]
    assert changed("oil", "the mill is small", "oil is slippery") == []


def test_a_set_without_pairs_lets_nothing_meet_so_a_first_safeguard_is_looser() -> None:
    without = load_rules({name: data for name, data in GOOD.items() if name != FILE}, "dale", prove_guards=False)

    assert {one.direction for one in clash_changes(without, good())} == {LOOSER}
    assert {one.direction for one in clash_changes(good(), without)} == {STRICTER}
    assert len(list(clash_changes(without, good()))) == 10
    assert list(clash_changes(without, without)) == []


def test_the_same_pairs_written_the_other_way_round_are_no_difference() -> None:
    text, line = GOOD[FILE].decode(), f'noise = {{ {SIGN}, because = "nobody hears a call" }}\n'
    head, found, rest = text.partition("[clash.oil]\n")
    assert found
    moved = line.replace("noise", "oil", 1)
    turned = (head + found + rest.replace(line, "", 1)).replace("[clash.noise]\n", f"[clash.noise]\n{moved}")
    new = load_rules({**GOOD, FILE: turned.encode()}, "dale", prove_guards=False)

    assert "noise.oil" in new.clashes
    assert list(clash_changes(good(), new)) == []
