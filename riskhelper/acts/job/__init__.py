"""One job: opened, answered, assessed, its papers."""
