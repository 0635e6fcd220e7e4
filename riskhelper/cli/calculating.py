"""`compute`: one calculation by name."""

from __future__ import annotations

import json
from argparse import Namespace

from riskhelper.acts import computing
from riskhelper.acts.as_json import plain_value
from riskhelper.acts.context import Refused
from riskhelper.acts.setting_up import Workplace
from riskhelper.calc.calculation import Calculation, Computed, OutsideLimits, Table
from riskhelper.cli.exits import ExitCode
from riskhelper.ruleset.faults import nearest_name


def compute(place: Workplace, given: Namespace) -> ExitCode:
    """Runs a calculation, or lists them all."""
    if given.list:
        for name, calculation in computing.calculations().items():
            print(f"{name} [{calculation.unit}]: {', '.join(calculation.parameters)}. {calculation.purpose}")
        return ExitCode.NO_STOP_FOUND
    if not given.name:
        raise Refused("Name a calculation, such as `riskhelper compute oil.density`; `--list` names them all")
    calculation = computing.calculation_named(given.name)
    outcome = computing.compute(calculation, given.inputs, lambda name: _table(place, name))
    if given.json:
        data = {"calculation": calculation.name, "outcome": type(outcome).__name__, **_fields(outcome)}
        print(json.dumps(data, indent=2, ensure_ascii=False))
    elif isinstance(outcome, Computed):
        _print_computed(calculation, outcome)
    elif isinstance(outcome, OutsideLimits):
        print(f"Outside the limits of validity: {outcome.limit}. Valid for: {calculation.validity}")
    else:
        print(f"Does not apply: {outcome.reason}")
    return ExitCode.NO_STOP_FOUND if isinstance(outcome, Computed) else ExitCode.BAD_INPUT


def _print_computed(calculation: Calculation, outcome: Computed) -> None:
    print(f"{outcome.value:.6g} {outcome.unit}".rstrip())
    for name, value in outcome.extra.items():
        print(f"  {name}: {value:.6g}" if isinstance(value, float) else f"  {name}: {value}")
    for words in (*outcome.notes, f"relation: {calculation.relation}", f"valid for: {calculation.validity}"):
        print(f"  {words}")
    print(f"  source: {calculation.source} ({calculation.standing.value})")


def _fields(outcome: object) -> dict[str, object]:
    found = plain_value(outcome)
    return dict(found) if isinstance(found, dict) else {}


def _table(place: Workplace, name: str) -> Table:
    tables = place.shelf("").tables
    if name in tables:
        return tables[name]
    hint = nearest_name(name, tables)
    raise Refused(
        f"No table `{name}` in the rules."
        + (f" Did you mean `{hint}`?" if hint else f" Known are {', '.join(tables)}")
    )
