"""Stress in the bridge between two press bores by finite elements in the plane; needs the extra ``[stress]``."""

from headparts.stress.bridge import Bridge, Stage, bridge
from headparts.stress.section import Ellipse, Ring, Section, section_of
from headparts.stress.solve import PlaneModel

__all__ = ["Bridge", "Ellipse", "PlaneModel", "Ring", "Section", "Stage", "bridge", "section_of"]
