"""The record as a whole: checked, carried, held, backed up, its texts destroyed when their time is over."""
