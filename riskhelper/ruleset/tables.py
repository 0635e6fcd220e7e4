"""A published table from its file."""

from __future__ import annotations

from riskhelper.calc.calculation import Table
from riskhelper.ruleset import entries
from riskhelper.ruleset.collecting import collect
from riskhelper.ruleset.faults import RuleFaults


def as_table(name: str, entry: entries.TableEntry) -> Table:
    """The entry as the value calculations take."""
    return Table(
        id=name,
        document=entry.document,
        edition=entry.edition,
        table=entry.table,
        unit=entry.unit,
        standing=entry.standing,
        columns=entry.columns,
        rows=entry.rows,
        between_rows=entry.between_rows,
        clause=entry.clause,
        note=entry.note,
    )


def table_of(name: str, content: bytes) -> Table:
    """The table of one file `tables/NAME.toml`; raises `RuleFaults` with every fault."""
    found = collect({f"tables/{name}.toml": content})
    if found.faults:
        raise RuleFaults(found.faults)
    return as_table(name, found.tables[name])
