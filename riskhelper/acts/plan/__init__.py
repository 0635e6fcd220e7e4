"""The plan of a job: waiting at the gate, read, evaluated, approved, and what of it was signed."""
