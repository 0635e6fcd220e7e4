"""From rule files to a rule set: base, one local code, supplements; every fault in one pass."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from riskhelper.calc.calculation import Table
from riskhelper.ruleset import entries
from riskhelper.ruleset.collecting import Collected, collect
from riskhelper.ruleset.compiling import Compiler
from riskhelper.ruleset.faults import Fault, RuleFaults, nearest_name
from riskhelper.ruleset.guards import unguarded
from riskhelper.ruleset.merging import merge_local, merge_supplement
from riskhelper.ruleset.model import Part, RuleSet
from riskhelper.ruleset.standing import check_entries
from riskhelper.terms import PLACES

LANGUAGE = 1


def load_rules(
    files: Mapping[str, bytes],
    local_code: str,
    supplements: Sequence[Mapping[str, bytes]] = (),
    *,
    prove_guards: bool = True,
) -> RuleSet:
    """The rule set made of base files, one local code and supplements.

    `files` maps relative names (`oil.toml`, `local/none.toml`, `tables/x.toml`) to bytes. `local_code` is the
    name of a file under `local/`, or empty for a job opened without one (a stop of its own).
    `prove_guards=False` leaves out the proof that no rule reads a question that is not asked: for a set whose
    digest has passed it before. Raises `RuleFaults` with every fault found.
    """
    base = collect(files)
    _check_frame(base)
    merge_local(base, local_code)
    parts = [_part("base", _number(base), {n: b for n, b in files.items() if not n.startswith(("local/", "cases/"))})]
    if local_code:
        parts.append(
            _part(
                local_code,
                _number(base),
                {f"local/{local_code}.toml": files.get(f"local/{local_code}.toml", b"")},
            )
        )
    for number, supplement in enumerate(supplements, start=1):
        added = collect(supplement)
        merge_supplement(base, added)
        parts.append(_part(f"supplement {number}", _number(added), supplement))
    if any(kind not in base.single for kind in ("ruleset", "matrix", "credit")):
        raise RuleFaults(base.faults)
    check_entries(base)
    compiler = Compiler(base)
    compiled = compiler.compile()
    if base.faults:
        raise RuleFaults(base.faults)
    head: entries.RuleSetEntry = base.single["ruleset"]
    local = base.locals[local_code][0] if local_code else None
    rules = RuleSet(
        head=head,
        matrix=base.single["matrix"],
        credit=base.single["credit"],
        questions=base.named["question"],
        facts=base.named["fact"],
        limits=base.named["limit"],
        hazards=base.named["hazard"],
        controls=base.named["control"],
        stops=base.named["stop"],
        steps=tuple(base.listed["step"]),
        isolation_rows=tuple(base.listed["isolation_row"]),
        kit=tuple(base.listed["kit"]),
        local_code=local_code,
        local=local,
        tables=_tables(base, local),
        sources=base.sources,
        cases=base.cases,
        parts=tuple(parts),
        **compiled,
    )
    rules = replace(rules, questions=_in_walking_order(rules))
    if prove_guards and (faults := list(unguarded(rules, base))):
        raise RuleFaults(faults)
    return rules


def _number(part: Collected) -> int:
    head = part.single.get("ruleset")
    return head.number if isinstance(head, entries.RuleSetEntry) else 0


def _part(name: str, number: int, files: Mapping[str, bytes]) -> Part:
    digest = hashlib.sha256()
    for file in sorted(files):
        for piece in (file.encode(), files[file]):
            digest.update(len(piece).to_bytes(8, "big") + piece)
    return Part(name, number, digest.hexdigest())


def _check_frame(base: Collected) -> None:
    for kind in ("ruleset", "matrix", "credit"):
        if kind not in base.single and not any(f.table == kind for f in base.faults):
            base.faults.append(Fault("rules", 0, kind, "", f"no file holds the table [{kind}]; a rule set needs it"))
    head = base.single.get("ruleset")
    if isinstance(head, entries.RuleSetEntry) and head.language != LANGUAGE:
        base.fault("ruleset", "", "language", f"is {head.language}; this program reads language {LANGUAGE}")


def _in_walking_order(rules: RuleSet) -> dict[str, entries.QuestionEntry]:
    """Questions by milestone, place on the walk, subject and as written, each after those its `ask_if` reads."""
    subjects = {subject: place for place, subject in enumerate(rules.head.subjects)}
    milestones = rules.positions

    def rank(name: str) -> tuple[int, int, int]:
        question = rules.questions[name]
        subject = subjects.get(name.partition(".")[0], len(subjects))
        return (milestones[question.asked_at], PLACES.index(question.place), subject)

    waiting = sorted(rules.questions, key=rank)
    ordered: dict[str, entries.QuestionEntry] = {}
    while waiting:
        ready = next((n for n in waiting if _asked_after(rules, n, waiting)), waiting[0])
        waiting.remove(ready)
        ordered[ready] = rules.questions[ready]
    return ordered


def _asked_after(rules: RuleSet, name: str, waiting: list[str]) -> bool:
    """Whether everything the guard of a question reads at the same milestone has been placed before it."""
    reads = rules.support_of(rules.ask_checks[name].node) - {name}
    due = rules.due_positions[name]
    return not any(other in reads and rules.due_positions[other] <= due for other in waiting)


def _tables(base: Collected, local: entries.LocalEntry | None) -> dict[str, Table]:
    tables = {name: _as_table(name, entry) for name, entry in base.tables.items()}
    if local is not None:
        for role, name in local.tables.items():
            tables[role] = tables[name]
    return tables


def _as_table(name: str, entry: entries.TableEntry) -> Table:
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


def local_codes(files: Mapping[str, bytes]) -> dict[str, str]:
    """Local codes on offer: file stem to title. Files that cannot be read are left to `load_rules` to report."""
    found: dict[str, Any] = collect({n: b for n, b in files.items() if n.startswith("local/")}).locals
    return {code: head.title for code, (head, _) in found.items()}


def unknown_code(local_code: str, known: Mapping[str, str]) -> str:
    """The message for a local code that does not exist."""
    hint = nearest_name(local_code, known)
    return f"there is no local code `{local_code}`; known are {', '.join(sorted(known))}" + (
        f"; did you mean `{hint}`?" if hint else ""
    )
