"""What a person can do, a module per family; here alone core, store and clock meet."""
