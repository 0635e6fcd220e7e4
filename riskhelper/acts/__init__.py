"""What a person can do, a folder for each thing it is done with; here alone core, store and clock meet."""
