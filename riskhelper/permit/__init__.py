"""The permit: its course, its guards, isolation points, the crew, handover. Values only, no record, no clock."""
