"""One run from a job file to its results: check, draw, export, or build all of it."""

from headparts.job.runs import build, check, draw, export

__all__ = ["build", "check", "draw", "export"]
