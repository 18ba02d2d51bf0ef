"""What is to be cut and fitted, from the parameters alone."""

from headparts.plan.needs import Inputs, MissingInput
from headparts.plan.plan import Plan, plan_job

__all__ = ["Inputs", "MissingInput", "Plan", "plan_job"]
