"""The signed acts on the screen: sheet of permits, one permit, isolation register, people, and the signing itself."""
