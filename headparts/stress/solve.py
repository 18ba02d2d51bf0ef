"""Plane stress of a meshed section: rings too large for their bores, pressed in by an initial strain."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from headparts.mechanics.thick_cylinder import tresca_stress, von_mises_stress
from headparts.stress.extra import finite_elements
from headparts.stress.mesh import Mesh, mesh_of
from headparts.stress.section import Ellipse, Section

Array = NDArray[np.float64]

_CORNERS = np.array([[2 / 3, 1 / 6, 1 / 6], [1 / 6, 2 / 3, 1 / 6], [1 / 6, 1 / 6, 2 / 3]])
"""Barycentric places of the three Gauss points, at which quadratic elements give their best stresses."""


@dataclass(frozen=True)
class Solution:
    """Movement and stress of one stage.

    ``moved`` [mm] (n, 2) at the mesh's nodes (nan where there is no metal); ``stress`` [MPa] (regions, n, 3): s_xx,
    s_yy, s_xy averaged at the nodes of each region, the head last (nan where the region has no node).
    """

    section: Section
    mesh: Mesh
    present: tuple[int, ...]
    moved: Array
    stress: Array

    def head(self) -> Array:
        """Stress of the head at every node [MPa], (n, 3)."""
        return np.asarray(self.stress[-1])

    def pressure(self, ring: int, side: str = "both") -> tuple[Array, Array]:
        """Contact pressure round a ring: angles about its centre [rad], and minus the normal stress [MPa].

        ``side`` 'head', 'ring' or their mean 'both'; the two differ by the error of the mesh.
        """
        outer = self.section.rings[ring].outer
        nodes = self.mesh.on(outer)
        normal = outer.normals(self.mesh.points[nodes])
        sides = {"head": (-1,), "ring": (ring,), "both": (-1, ring)}[side]
        found = -np.mean([_normal(self.stress[k, nodes], normal) for k in sides], axis=0)
        away = self.mesh.points[nodes] - np.asarray(outer.centre)
        return np.arctan2(away[:, 1], away[:, 0]), np.asarray(found)

    def friction(self, ring: int) -> float:
        """Greatest shear over pressure at a fit: a bonded one slips where friction is less; inf where it pulls."""
        nodes = self.mesh.on(self.section.rings[ring].outer)
        n = self.section.rings[ring].outer.normals(self.mesh.points[nodes])
        stress = np.mean([self.stress[k, nodes] for k in (-1, ring)], axis=0)
        along = (stress[:, 1] - stress[:, 0]) * n[:, 0] * n[:, 1] + stress[:, 2] * (
            n[:, 0] ** 2 - n[:, 1] ** 2
        )
        across = -_normal(stress, n)
        return float(np.max(np.abs(along) / across)) if across.min() > 0.0 else np.inf

    def mean_pressure(self, ring: int) -> float:
        """Mean contact pressure over the circumference [MPa]."""
        angles, found = self.pressure(ring)
        closed = np.append(angles, angles[0] + 2 * np.pi), np.append(found, found[0])
        return float(np.trapezoid(closed[1], closed[0]) / (2 * np.pi))

    def diameters(self, ellipse: Ellipse, free: float = 0.0, count: int = 180) -> Array:
        """Change of the diameter [mm] across an ellipse of the section at ``count`` directions over half a turn.

        ``free``: strain of the unloaded part that belongs to no load (the interference counted along with the ring).
        The direction is that of the radius from the centre.
        """
        nodes = self.mesh.on(ellipse)
        away = self.mesh.points[nodes] - np.asarray(ellipse.centre)
        reach = np.linalg.norm(away, axis=1)
        radial = np.einsum("ij,ij->i", self.moved[nodes], away) / reach - free * reach
        angles = np.arctan2(away[:, 1], away[:, 0])
        turns = np.arange(count) * (np.pi / count)
        one, other = (np.interp(_wrapped(turns + k), angles, radial, period=2 * np.pi) for k in (0.0, np.pi))
        return np.asarray(one + other)


def _wrapped(angles: Any) -> Array:
    return np.asarray((angles + np.pi) % (2 * np.pi) - np.pi)


def _normal(stress: Array, normal: Array) -> Array:
    x, y = normal[..., 0], normal[..., 1]
    return np.asarray(stress[..., 0] * x * x + stress[..., 1] * y * y + 2 * stress[..., 2] * x * y)


def principal(stress: Array) -> tuple[Array, Array]:
    """Greater and smaller principal stress in the plane [MPa] of s_xx, s_yy, s_xy (..., 3).

    >>> [float(s) for s in principal(np.array([30.0, -10.0, 15.0]))]
    [35.0, -15.0]
    """
    mean, half = (stress[..., 0] + stress[..., 1]) / 2, (stress[..., 0] - stress[..., 1]) / 2
    swing = np.hypot(half, stress[..., 2])
    return np.asarray(mean + swing), np.asarray(mean - swing)


def tresca(stress: Array) -> Array:
    """Tresca stress [MPa] in plane stress of s_xx, s_yy, s_xy (..., 3); nan stays nan."""
    return _equivalent(tresca_stress, stress)


def von_mises(stress: Array) -> Array:
    """Von Mises stress [MPa] in plane stress of s_xx, s_yy, s_xy (..., 3); nan stays nan."""
    return _equivalent(von_mises_stress, stress)


def _equivalent(rule: Any, stress: Array) -> Array:
    first, second = principal(stress)
    made = np.full(first.shape, np.nan)
    real = np.isfinite(first)
    made[real] = rule(first[real], second[real])
    return made


@dataclass(frozen=True)
class PlaneModel:
    """A section with its mesh, ready to be solved with any of its rings in place.

    The ring and the head move together at the fit (bonded), or across it only (sliding: no friction at all); real fits lie
    between, and `Solution.friction` says how much friction the bonded one asks for. The interference is an initial strain,
    interference / diameter in both directions of the plane, that the ring would have if it were free. Long free ends:
    plane stress. Where the fit would have to pull, a bonded one does: `pressure` shows it as negative.
    """

    section: Section
    mesh: Mesh

    @classmethod
    def of(cls, section: Section, fineness: float = 1.0) -> PlaneModel:
        """The model of a section; see `mesh_of`."""
        return cls(section, mesh_of(section, fineness))

    @cached_property
    def _lame(self) -> Array:
        rings = self.section.rings
        e = np.array([*(r.modulus for r in rings), self.section.modulus])[self.mesh.region]
        nu = np.array([*(r.poisson for r in rings), self.section.poisson])[self.mesh.region]
        strain = np.array([*(r.interference / r.diameter for r in rings), 0.0])[self.mesh.region]
        return np.stack([e * nu / (1 - nu**2), e / 2 / (1 + nu), strain])

    def solve(
        self,
        present: Collection[int] | None = None,
        tight: Collection[int] | None = None,
        sliding: bool = False,
    ) -> Solution:
        """Solve with the rings ``present`` (numbers; all when not given) in place, the other bores empty.

        ``tight``: those of them that have their interference; the others only fill their bores. All when not given.
        ``sliding``: no friction at the fits; at their nodes ``moved`` is then that of one side, their slip not told.
        """
        fem = finite_elements()
        helpers = fem.helpers
        ddot, div, sym_grad, trace = helpers.ddot, helpers.div, helpers.sym_grad, helpers.trace

        kept = tuple(range(len(self.section.rings))) if present is None else tuple(sorted(set(present)))
        cells = np.flatnonzero((self.mesh.region == -1) | np.isin(self.mesh.region, kept))
        points, triangles, twins = self._split(kept if sliding else ())
        grid = fem.MeshTri2(points.T.copy(), triangles.T.copy())
        basis = fem.Basis(grid, fem.ElementVector(fem.ElementTriP2()), elements=cells, intorder=4)
        flat = basis.with_element(fem.ElementTriP0())
        fields = {}
        lame = self._lame.copy()
        if tight is not None:
            lame[2, ~np.isin(self.mesh.region, list(tight))] = 0.0
        for name, values in zip(("lam", "mu", "free"), lame, strict=True):
            whole = np.zeros(flat.N)
            whole[flat.element_dofs[0]] = values[cells]
            fields[name] = flat.interpolate(whole)

        def stiffness(u: Any, v: Any, w: Any) -> Any:
            a, b = sym_grad(u), sym_grad(v)
            return w.lam * trace(a) * trace(b) + 2 * w.mu * ddot(a, b)

        def swelling(v: Any, w: Any) -> Any:
            return 2 * (w.lam + w.mu) * w.free * div(v)

        matrix = fem.BilinearForm(stiffness).assemble(basis, **fields)
        load = fem.LinearForm(swelling).assemble(basis, **fields)
        dofs = basis.element_dofs  # (12, cells): x and y of corners 0, 1, 2, then of sides 01, 12, 20
        held = [np.setdiff1d(np.arange(basis.N), np.unique(dofs)), self._holding(cells, dofs)]
        if sliding:
            place = np.zeros((len(points), 2), dtype=np.intp)
            place[triangles[cells].T] = dofs.reshape(6, 2, -1).transpose(0, 2, 1)
            joint, idle, turning = self._joint(place, twins, basis.N)
            loose = _diagonal(turning, 1e-6 * self.section.modulus, basis.N)
            matrix, load = joint.T @ matrix @ joint + loose, joint.T @ load
            found = joint @ fem.solve(
                *fem.condense(matrix, load, D=np.concatenate([*held, idle])), solver=_symmetric
            )
        else:
            found = fem.solve(*fem.condense(matrix, load, D=np.concatenate(held)), solver=_symmetric)
        local = found[dofs].reshape(6, 2, -1)
        corners = self.mesh.triangles[cells]
        moved = np.full(self.mesh.points.shape, np.nan)
        moved[corners.T] = local.transpose(0, 2, 1)
        return Solution(self.section, self.mesh, kept, moved, self._stress(cells, local, lame))

    def _split(self, rings: Collection[int]) -> tuple[Array, NDArray[np.intp], list[tuple[int, Any, Any]]]:
        """Points and triangles with nodes of their own for each ring of ``rings``, and (ring, head's, ring's nodes)."""
        points, triangles, twins = [self.mesh.points], self.mesh.triangles.copy(), []
        count = len(self.mesh.points)
        for k in rings:
            nodes = self.mesh.on(self.section.rings[k].outer)
            own = np.arange(len(self.mesh.points))
            own[nodes] = count + np.arange(len(nodes))
            inside = self.mesh.region == k
            triangles[inside] = own[triangles[inside]]
            points.append(self.mesh.points[nodes])
            twins.append((k, nodes, own[nodes]))
            count += len(nodes)
        return np.concatenate(points), triangles, twins

    def _joint(
        self, place: NDArray[np.intp], twins: list[tuple[int, Any, Any]], size: int
    ) -> tuple[Any, ...]:
        """Matrix from free movements to degrees of freedom: at a fit one across it for both sides, one along it each.

        Also the degrees of freedom that it leaves idle, and those along the rings, whose turning nothing stops.
        """
        from scipy.sparse import coo_matrix

        plain = np.ones(size, dtype=bool)
        rows, columns, values, idle, turning = [], [], [], [], []
        for k, head, ring in twins:
            n = self.section.rings[k].outer.normals(self.mesh.points[head])
            (hx, hy), (rx, ry) = place[head].T, place[ring].T
            plain[np.concatenate([hx, hy, rx, ry])] = False
            for row, column, value in (
                (hx, hx, n[:, 0]), (hx, hy, -n[:, 1]), (hy, hx, n[:, 1]), (hy, hy, n[:, 0]),
                (rx, hx, n[:, 0]), (rx, ry, -n[:, 1]), (ry, hx, n[:, 1]), (ry, ry, n[:, 0]),
            ):  # fmt: skip
                rows.append(row)
                columns.append(column)
                values.append(value)
            idle.append(rx)
            turning.append(ry)
        rest = np.flatnonzero(plain)
        entries = np.concatenate([*values, np.ones(len(rest))])
        places = (np.concatenate([*rows, rest]), np.concatenate([*columns, rest]))
        joint = coo_matrix((entries, places), shape=(size, size)).tocsr()
        return joint, np.concatenate(idle), np.concatenate(turning)

    def _holding(self, cells: NDArray[np.intp], dofs: NDArray[Any]) -> NDArray[Any]:
        """Three degrees of freedom that stop rigid movement: both of one outer corner, one of another.

        The loads balance by themselves, so what holds the body carries nothing.
        """
        corners = self.mesh.triangles[cells][:, :3]
        points = self.mesh.points[corners]
        low = np.unravel_index(int(points[..., 0].argmin()), corners.shape)
        high = np.unravel_index(int(points[..., 0].argmax()), corners.shape)
        return np.array(
            [dofs[2 * low[1], low[0]], dofs[2 * low[1] + 1, low[0]], dofs[2 * high[1] + 1, high[0]]]
        )

    def _stress(self, cells: NDArray[np.intp], local: Array, lame: Array) -> Array:
        """Stress at Gauss points, carried linearly to the six nodes, averaged over the elements of one region."""
        corners = self.mesh.triangles[cells]
        points = self.mesh.points[corners]  # (cells, 6, 2)
        lam, mu, free = lame[:, cells]
        gauss = np.empty((len(cells), 3, 3))
        for k, place in enumerate(_CORNERS):
            slopes = _slopes(place)  # (6, 2) with the two local directions
            frame = np.einsum("nd,cnx->cdx", slopes, points)
            own = np.linalg.solve(frame, np.broadcast_to(slopes.T, (len(cells), 2, 6)))  # d shape / d x
            strain = np.einsum("cxn,nyc->cxy", own, local)
            xx, yy = strain[:, 0, 0] - free, strain[:, 1, 1] - free
            both = lam * (xx + yy)
            gauss[:, k] = np.stack(
                [both + 2 * mu * xx, both + 2 * mu * yy, mu * (strain[:, 0, 1] + strain[:, 1, 0])], axis=-1
            )
        ends = 2 * gauss - gauss.sum(axis=1, keepdims=True) / 3
        nodes = np.concatenate([ends, (ends + np.roll(ends, -1, axis=1)) / 2], axis=1)
        regions = len(self.section.rings) + 1
        made = np.full((regions, len(self.mesh.points), 3), np.nan)
        for region in range(regions):
            inside = self.mesh.region[cells] == (region if region < regions - 1 else -1)
            where = corners[inside].ravel()
            if not len(where):
                continue
            count = np.bincount(where, minlength=len(self.mesh.points))
            has = count > 0
            for part in range(3):
                total = np.bincount(where, nodes[inside][..., part].ravel(), minlength=len(self.mesh.points))
                made[region, has, part] = total[has] / count[has]
        return made


def _diagonal(at: NDArray[np.intp], value: float, size: int) -> Any:
    """A sparse square matrix with ``value`` on its diagonal at some places."""
    from scipy.sparse import coo_matrix

    return coo_matrix((np.full(len(at), value), (at, at)), shape=(size, size)).tocsr()


def _symmetric(matrix: Any, right: Array) -> Array:
    """Direct solution of a symmetric positive system: no pivoting, an ordering that keeps the symmetry."""
    from scipy.sparse.linalg import splu

    options = {"SymmetricMode": True}
    factors = splu(matrix.tocsc(), permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options=options)
    return np.asarray(factors.solve(right))


def _slopes(place: Array) -> Array:
    """Slopes of the six shape functions along local x and y at a barycentric place."""
    a, b, c = place
    by_a = np.array([4 * a - 1, 0, 0, 4 * b, 0, 4 * c])
    by_b = np.array([0, 4 * b - 1, 0, 4 * a, 4 * c, 0])
    by_c = np.array([0, 0, 4 * c - 1, 0, 4 * b, 4 * a])
    return np.stack([by_b - by_a, by_c - by_a], axis=-1)
