"""Questions of the form "how big may it be": the largest or smallest safe value of one number of a job."""

from headparts.sizing.largest import largest
from headparts.sizing.result import CurvePoint, Largest, Likeliest, Span, Stop

__all__ = ["CurvePoint", "Largest", "Likeliest", "Span", "Stop", "largest"]
