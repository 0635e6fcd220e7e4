"""Rule sets as they lie in folders: loaded with their worked cases, under one local code or all of them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from riskhelper.acts.context import Context, Refused
from riskhelper.acts.setting_up import RuleShelf
from riskhelper.ruleset.collecting import collect
from riskhelper.ruleset.faults import nearest_name
from riskhelper.ruleset.model import RuleSet
from riskhelper.ruleset.reading import load_rules, local_codes
from riskhelper.store.rule_files import rule_files, shipped_rules, supplement_files


@dataclass(frozen=True)
class RuleFolder:
    """A folder of rules with the supplements that stand on it."""

    folder: Path
    supplements: tuple[Path, ...] = ()

    @property
    def codes(self) -> tuple[str, ...]:
        """Local codes on offer."""
        return tuple(local_codes(rule_files(self.folder)))

    @property
    def usual_code(self) -> str:
        """The local code most worked cases are written for."""
        files = rule_files(self.folder)
        codes = tuple(local_codes(files))
        locals_of_cases = Counter(case.local for case in collect(files).cases.values())
        return max(codes, key=lambda code: locals_of_cases[code], default="")

    def under(self, code: str) -> RuleSet:
        """The set under a local code, worked cases included; every guard proved, but for the shipped set."""
        files = rule_files(self.folder)
        known = local_codes(files)
        if code not in known:
            hint = nearest_name(code, known)
            told = ", ".join(f"`{name}`" for name in known)
            raise Refused(
                f"Local code `{code}` is not known in {self.folder}; known are {told}."
                + (f" Did you mean `{hint}`?" if hint else "")
            )
        proved = self.folder == shipped_rules() and not self.supplements
        return load_rules(files, code, self._supplement_files(), prove_guards=not proved)

    def all_codes(self) -> dict[str, RuleSet]:
        """The set under each local code."""
        return {code: self.under(code) for code in self.codes}

    def _supplement_files(self) -> Sequence[dict[str, bytes]]:
        return [supplement_files(folder) for folder in self.supplements]


def folder_in_use(context: Context) -> RuleFolder:
    """The folder the rules in use come from."""
    shelf = context.rules
    if not isinstance(shelf, RuleShelf):
        raise Refused("The rules in use lie in no folder, so they cannot be examined here")
    return RuleFolder(shelf.folder)
