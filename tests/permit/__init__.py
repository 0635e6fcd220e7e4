"""Tests of the permit: its course, its points, its people."""
