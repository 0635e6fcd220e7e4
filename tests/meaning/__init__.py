"""What a rule set means: the reference evaluator, exact worlds, the promises and their saboteurs."""
