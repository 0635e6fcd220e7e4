"""`compute`: one calculation by name, with everything needed to check it by hand."""

from __future__ import annotations

import sys
from argparse import Namespace

from riskhelper.acts import computing
from riskhelper.acts.computing import TablesFault, Typed, Worked
from riskhelper.calc.calculation import Computed, InputFault, NotApplicable, OutsideLimits, Table
from riskhelper.cli.exits import ExitCode
from riskhelper.interval import Interval


def compute(given: Namespace) -> ExitCode:
    """Runs a calculation, or lists them all; refusals go to standard error."""
    if given.list:
        for name, calculation in computing.calculations().items():
            print(f"{name} [{calculation.unit}]: {', '.join(calculation.parameters)}. {calculation.purpose}")
        return ExitCode.NO_STOP_FOUND
    try:
        if not given.name:
            raise InputFault("name a calculation, such as `riskhelper compute oil.density`; `--list` names them all")
        worked = computing.compute(given.name, given.inputs, given.rules)
    except InputFault as fault:
        print(fault, file=sys.stderr)
        return ExitCode.BAD_INPUT
    except TablesFault as fault:
        print(fault, file=sys.stderr)
        return ExitCode.BAD_RULES
    if given.json:
        import json  # only where it is asked for

        print(json.dumps(_data(worked), indent=2, ensure_ascii=False))
    else:
        print("\n".join(_lines(worked)))
    return ExitCode.NO_STOP_FOUND if isinstance(worked.outcome, Computed) else ExitCode.BAD_INPUT


def _lines(worked: Worked) -> list[str]:
    calculation, outcome = worked.calculation, worked.outcome
    match outcome:
        case Computed():
            if worked.range is not None:
                head = f"{worked.range.low:.6g} to {worked.range.high:.6g} {outcome.unit}".rstrip()
            else:
                head = f"{outcome.value:.6g} {outcome.unit}".rstrip()
        case OutsideLimits(limit):
            head = f"Outside the limits of validity: {limit}"
        case NotApplicable(reason):
            head = f"Does not apply: {reason}"
    extra = outcome.extra if isinstance(outcome, Computed) else {}
    notes = outcome.notes if isinstance(outcome, Computed) else ()
    inputs = ", ".join(f"{name} = {_shown(value)}" for name, value in worked.inputs.items())
    return [
        head,
        *(
            f"  {name}: {value:.6g}" if isinstance(value, float) else f"  {name}: {value}"
            for name, value in extra.items()
        ),
        *(f"  note: {note}" for note in notes),
        f"  purpose: {calculation.purpose}",
        f"  relation: {calculation.relation}",
        f"  inputs: {inputs or 'none'}",
        f"  valid for: {calculation.validity}",
        f"  source: {calculation.source} ({calculation.standing.value})",
        *(f"  table {t.id}: {t.cited} ({t.standing.value})" for t in worked.inputs.values() if isinstance(t, Table)),
    ]


def _shown(value: Typed) -> str:
    if isinstance(value, Table):
        return value.id
    if isinstance(value, Interval):
        return f"{value.low:g} to {value.high:g}"
    return f"{value:g}" if isinstance(value, float) else str(value)


def _data(worked: Worked) -> dict[str, object]:
    calculation, outcome = worked.calculation, worked.outcome
    data: dict[str, object] = {"calculation": calculation.name, "outcome": type(outcome).__name__}
    match outcome:
        case Computed(value, unit, extra, notes):
            data |= {"value": value} if worked.range is None else {"low": worked.range.low, "high": worked.range.high}
            data |= {"unit": unit, "extra": dict(extra), "notes": list(notes)}
        case OutsideLimits(limit):
            data["limit"] = limit
        case NotApplicable(reason):
            data["reason"] = reason
    inputs: dict[str, object] = {
        name: [value.low, value.high]
        if isinstance(value, Interval)
        else value.id
        if isinstance(value, Table)
        else value
        for name, value in worked.inputs.items()
    }
    return data | {
        "inputs": inputs,
        "relation": calculation.relation,
        "validity": calculation.validity,
        "source": calculation.source,
        "standing": calculation.standing.value,
    }
