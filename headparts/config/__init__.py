"""Job files: strict reading into frozen parameters, starter files, and a schema for editors."""

from .fault import Fault
from .model import JobFile, Quantity
from .reader import read_job

__all__ = ["Fault", "JobFile", "Quantity", "read_job"]
