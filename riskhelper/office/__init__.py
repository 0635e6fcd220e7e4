"""What an officer asks of rule sets beyond the review: proofs, comparison, replay over past jobs."""
