"""A table that turns a figure round would make every range worked out at its ends a lie: the set is refused."""

from __future__ import annotations

import pytest

from riskhelper.ruleset.faults import RuleFaults
from riskhelper.ruleset.reading import load_rules
from tests.content.shipped import files

TABLE = "tables/en_50110_1_a1.toml"


def test_a_table_by_which_more_voltage_may_come_nearer_is_a_fault_of_the_set() -> None:
    """EN 50110-1 table A.1: the distance grows with the voltage; here that of 220 kV is below that of 132 kV."""
    turned = files()[TABLE].decode().replace("[220.0, 1.6, 3.0]", "[220.0, 0.6, 3.0]", 1)
    assert turned != files()[TABLE].decode()

    with pytest.raises(RuleFaults) as refused:
        load_rules({**files(), TABLE: turned.encode()}, "en50110")
    told = [str(fault) for fault in refused.value.faults]
    assert any("between 150 and 220 of `live.near_kv`" in one for one in told), told
    assert all("look at these rows" in one for one in told)
