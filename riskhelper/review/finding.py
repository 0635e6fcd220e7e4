"""What a review finds: the kind, the entry, the place in it, in words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

KINDS: Mapping[str, str] = {
    "never": "an entry that can never matter, whatever is answered",
    "outranked": "an entry that another one always outranks",
    "gap": "numbers between two rated ranges that no entry covers",
    "overlap": "numbers that two ranges claim which do not lie inside one another",
    "exclusive_adds": "two `add` entries that can never both hold: they belong into `at_least`",
    "uncovered_answers": "several answers to a choice that touch no rule",
    "no_source": "a figure without a source",
    "to_be_confirmed": "a figure from memory, in use and to be confirmed",
    "unproved_limit": "a limit without a worked case at it, just below it or just above it",
    "one_way_limit": "a limit that a local code or supplement cannot tighten, as it is read in both directions",
    "vague": "words that leave to the reader what the rule should say",
    "hard_to_read": "a text above the reading grade that was set",
    "unread_question": "a question that no hazard, stop, figure or step reads",
    "idle_control": "a control that stands on no step",
    "no_control": "a hazard without a control",
    "no_case_applies": "a hazard that applies in no worked case",
    "no_case_silent": "a hazard that stays silent in no worked case",
    "unturned_stop": "a stop that no worked turn shows firing, just not firing, and with an answer nobody knows",
    "isolation_gap": "a row of the isolation plan that leaves out a part every row has to say",
    "no_clashes": "a set that does not say which kinds of work may meet: under it none may",
    "matrix_incomplete": "a matrix without a band for every product",
    "matrix_not_monotone": "a matrix in which a worse cell has a milder band",
    "highest_touches_lowest": "the highest band touches the lowest: a small step in one scale jumps over all others",
    "highest_in_lowest_row_or_column": "the highest band reaches the lowest row or column",
    "lowest_row_and_column_in_lowest_band": "a cell of the lowest row or column stands above the lowest band",
    "second_row_or_column_in_highest_band": "a cell of the second row or column stands in the highest band",
    "four_bands_equal_products_equal_band": "more than three bands: equal products share a band though risks differ",
    "needless_waiver": "a waiver of something that is not found",
}

# What the proofs find (`riskhelper.office.proofs`); waived beside the entry like all others.
PROOF_KINDS: Mapping[str, str] = {
    "worse_rated_lower": "an answer that the set calls graver, and something comes out milder",
    "unknown_milder": "an answer not known, and something comes out milder than with a value",
    "contradiction": "entries that between them leave no way through: whatever is answered, the job stops",
    "never_with_figures": "an entry that can never matter, as no figure comes to what it asks for",
    "weak_controls_clear": "briefings and PPE bring a hazard below the band that stops or demands controls",
    "credited_twice": "a control that is credited twice under two names",
    "claim_broken": "something that the set claims can never be, and can",
    "supplement_loosens": "a supplement under which something comes out milder than without it",
}


@dataclass(frozen=True, slots=True, order=True)
class Finding:
    """One finding. `waived` holds the reason written beside the entry, if there is one."""

    entry: str
    kind: str
    key: str
    words: str
    waived: str = ""

    def __str__(self) -> str:
        key = f", key `{self.key}`" if self.key else ""
        reason = f" (waived: {self.waived})" if self.waived else ""
        return f"`{self.entry}`{key}: {self.words} [{self.kind}]{reason}"
