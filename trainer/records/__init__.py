"""The record of an attempt: its file, the journal of the running one, replay, re-grading, pages to print."""
