"""Names on a head: the joint face, the top, every bore and cavity, and the sizes read from them."""

from __future__ import annotations

import math
from collections.abc import Iterator

from headparts.parts.head_parameters import HeadParameters
from headparts.parts.head_tools import Tool, along
from headparts.parts.outline import DOWN, UP
from headparts.parts.part import Feature, Hint, Size, Vector

FLOORED = ("body_bore", "pocket")


def features_of(p: HeadParameters) -> Iterator[Feature]:
    """The joint face, the top and the side faces; then each tool's own surface under the tool's name.

    Beside a body bore NAME there is NAME_step (the shoulder's seat), beside a pocket NAME_floor, beside a
    port's clearance its face NAME, beside a chamber of flat roof "chamber_roof".
    """
    low, high = (p.x[0] + 0.5, p.y[0] + 0.5, p.z[0]), (p.x[0] + 0.5, p.y[0] + 0.5, p.z[1])
    yield Feature("joint_face", "plane", Hint((0.0, 0.0, p.z[0]), DOWN, low, None, 3.0))
    yield Feature("top", "plane", Hint((0.0, 0.0, p.z[1]), UP, high, None, 3.0))
    for tool in p.effective_tools:
        yield from _tool_features(tool, p)


def _tool_features(tool: Tool, p: HeadParameters) -> Iterator[Feature]:
    if tool.shape == "ball":
        at = along(tool.point, UP, tool.radius)
        yield Feature(tool.name, "sphere", Hint(tool.point, UP, at, "hollow", 0.6 * tool.radius))
        return
    if tool.role == "port_clearance":
        yield _face(tool)
        return
    if tool.shape == "rounded_box":
        yield from _bathtub(tool)
        return
    kind = "cone" if tool.shape == "cone" else "cylinder"
    at = _on_side(tool, p)
    yield Feature(tool.name, kind, Hint(tool.point, tool.direction, at, "hollow", _reach(tool)))
    back = (-tool.direction[0], -tool.direction[1], -tool.direction[2])
    end = along(tool.point, tool.direction, tool.length)
    if tool.role in FLOORED or tool.name == "chamber":
        label = {"body_bore": "step", "pocket": "floor", "chamber": "roof"}[tool.role]
        place, normal = (tool.point, tool.direction) if tool.role == "pocket" else (end, back)
        rim = _beside(place, tool.direction, 0.97 * tool.radius, p)
        yield Feature(f"{tool.name}_{label}", "plane", Hint(place, normal, rim, None, 0.5 * tool.radius))


def _bathtub(tool: Tool) -> Iterator[Feature]:
    x, y, z = tool.point
    length, width, _ = tool.size
    roof, middle = z + tool.length, z + tool.length / 2.0
    yield Feature("chamber_roof", "plane", Hint((x, y, roof), DOWN, (x, y, roof), None, width / 2.0))
    for name, normal, at in (
        ("chamber_minus_x", (1.0, 0.0, 0.0), (x - length / 2.0, y, middle)),
        ("chamber_plus_x", (-1.0, 0.0, 0.0), (x + length / 2.0, y, middle)),
        ("chamber_minus_y", (0.0, 1.0, 0.0), (x, y - width / 2.0, middle)),
        ("chamber_plus_y", (0.0, -1.0, 0.0), (x, y + width / 2.0, middle)),
    ):
        yield Feature(name, "plane", Hint(at, normal, at, None, 1.0))


def _face(tool: Tool) -> Feature:
    """The face of a port is the flat start of what is cleared beyond it; the metal lies behind."""
    point, normal = (tool.point, tool.direction) if tool.beyond is None else tool.beyond
    station = tool.name.removeprefix("port_clearance_")
    return Feature(f"port_{station}_face", "plane", Hint(point, normal, point, None, tool.radius))


def _reach(tool: Tool) -> float:
    """Bores may be open over much of their side: the nearest piece left may lie some way off."""
    return max(tool.radius, 2.0)


def _on_side(tool: Tool, p: HeadParameters) -> Vector:
    """A place on a tool's side: near the step of a bore, near a port's face, else midway in the casting."""
    if tool.role == "body_bore":
        s = tool.length - min(1.0, 0.1 * tool.length)
    else:
        s = 0.5 * sum(_within(tool, p))
        if tool.role in ("port", "sleeve_bore"):
            s = 0.8 * tool.length
    share = s / tool.length
    radius = tool.radius + (share * (tool.radius_end - tool.radius) if tool.shape == "cone" else 0.0)
    return _beside(along(tool.point, tool.direction, s), tool.direction, radius, p)


def _within(tool: Tool, p: HeadParameters) -> tuple[float, float]:
    """The stretch of a tool's axis that runs inside the casting's outline."""
    low, high = 0.0, tool.length
    for axis, (a, b) in enumerate((p.x, p.y, p.z)):
        rate = tool.direction[axis]
        if abs(rate) < 1e-12:
            continue
        s0, s1 = sorted(((a - tool.point[axis]) / rate, (b - tool.point[axis]) / rate))
        low, high = max(low, s0), min(high, s1)
    return (low, high) if high > low else (0.0, tool.length)


def _beside(point: Vector, direction: Vector, radius: float, p: HeadParameters) -> Vector:
    """A point ``radius`` from an axis, on the side away from the middle of the casting's outline."""
    middle = ((p.x[0] + p.x[1]) / 2.0, (p.y[0] + p.y[1]) / 2.0, point[2])
    out = [a - b for a, b in zip(point, middle, strict=True)]
    along_axis = sum(o * d for o, d in zip(out, direction, strict=True))
    across = [o - along_axis * d for o, d in zip(out, direction, strict=True)]
    length = math.hypot(*across)
    if length < 1e-6:
        other = (1.0, 0.0, 0.0) if abs(direction[0]) < 0.9 else (0.0, 1.0, 0.0)
        dot = sum(o * d for o, d in zip(other, direction, strict=True))
        across = [o - dot * d for o, d in zip(other, direction, strict=True)]
        length = math.hypot(*across)
    x, y, z = (a + radius * c / length for a, c in zip(point, across, strict=True))
    return x, y, z


def sizes_of(p: HeadParameters) -> Iterator[Size]:
    """Sizes of every tool, named after it: NAME_diameter, NAME_x and NAME_y (where its axis passes the joint
    face, world coordinates), NAME_tilt (axis from the joint face's normal), and what its role adds:
    body bore NAME_step_depth (joint face to step, along the axis), pocket NAME_floor_depth (from the top),
    port and sleeve bore NAME_rise (axis over the joint face), port NAME_length (face to the valve axis)
    where there is a face; chamber_diameter, chamber_radius, chamber_depth, chamber_length, chamber_width.
    """
    tools = {tool.name: tool for tool in p.effective_tools}
    yield Size("height", "length", ("joint_face", "top"), "between")
    for name, tool in tools.items():
        if tool.shape == "ball":
            yield Size(f"{name}_radius", "radius", (name,), "radius")
            yield Size(f"{name}_depth", "length", ("joint_face", name), "apex")
        elif tool.shape == "rounded_box":
            yield Size("chamber_depth", "length", ("joint_face", "chamber_roof"), "between")
            yield Size("chamber_length", "length", ("chamber_minus_x", "chamber_plus_x"), "between")
            yield Size("chamber_width", "length", ("chamber_minus_y", "chamber_plus_y"), "between")
        elif tool.shape == "cylinder" and tool.role != "port_clearance":
            yield from _bore_sizes(name, tool, tools)


def _bore_sizes(name: str, tool: Tool, tools: dict[str, Tool]) -> Iterator[Size]:
    yield Size(f"{name}_diameter", "diameter", (name,), "radius")
    if tool.role in ("port", "sleeve_bore"):
        yield Size(f"{name}_rise", "angle", (name, "top"), "rise_over")
        station = name.removeprefix("port_")
        if tool.role == "port" and f"port_clearance_{station}" in tools and f"body_bore_{station}" in tools:
            of = (f"{name}_face", name, f"body_bore_{station}")
            yield Size(f"{name}_length", "length", of, "crossing_along")
        return
    if abs(tool.direction[2]) > 0.1:
        yield Size(f"{name}_x", "length", ("joint_face", name), "x_at")
        yield Size(f"{name}_y", "length", ("joint_face", name), "y_at")
        yield Size(f"{name}_tilt", "angle", (name, "top"), "tilt")
    if tool.role == "body_bore":
        yield Size(f"{name}_step_depth", "length", ("joint_face", name, f"{name}_step"), "depth_along")
    elif tool.role == "pocket":
        yield Size(f"{name}_floor_depth", "length", ("top", name, f"{name}_floor"), "depth_along")
    elif tool.name == "chamber":
        yield Size("chamber_depth", "length", ("joint_face", "chamber_roof"), "between")
