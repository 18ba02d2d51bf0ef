"""Stress over the radius against a boundary value problem solved by collocation, ends free and held."""

import numpy as np
import pytest
from scipy.integrate import solve_bvp

from headparts.errors import ParameterError
from headparts.mechanics.stress_field import radii_between, stress_field

CASES = [(8.25, 9.95, 20.0, 0.0), (6.3, 8.25, 0.0, 20.0), (5.0, 15.0, 12.0, 3.0), (3.4, 3.75, -2.0, 7.0)]


def solved(inner, outer, inside, outside, ends, modulus=71e3, poisson=0.33):
    """Stresses from Navier's equation u'' + u'/r - u/r^2 = 0 in u, the pressures as boundary conditions."""
    e, nu = (modulus, poisson) if ends == "free" else (modulus / (1 - poisson**2), poisson / (1 - poisson))

    def radial(r, u, slope):
        return e / (1 - nu**2) * (slope + nu * u / r)

    def equation(r, y):
        return np.vstack([y[1], y[0] / r**2 - y[1] / r])

    def ends_of(a, b):
        return np.array([radial(inner, *a) + inside, radial(outer, *b) + outside]) / 10.0

    radii = np.linspace(inner, outer, 41)
    found = solve_bvp(equation, ends_of, radii, np.zeros((2, radii.size)), tol=1e-9, max_nodes=20000)
    assert found.success
    u, slope = found.sol(radii)
    hoop = e / (1 - nu**2) * (u / radii + nu * slope)
    across = radial(radii, u, slope)
    axial = np.zeros_like(radii) if ends == "free" else poisson * (hoop + across)
    return radii, hoop, across, axial


@pytest.mark.parametrize("ends", ["free", "held"])
@pytest.mark.parametrize("case", CASES)
def test_field_against_the_differential_equation(case, ends):
    radii, hoop, radial, axial = solved(*case, ends)
    field = stress_field(radii, *case, ends=ends, poisson=0.33)
    assert field.hoop == pytest.approx(hoop, rel=1e-5, abs=1e-5)
    assert field.radial == pytest.approx(radial, rel=1e-5, abs=2e-5)
    assert field.axial == pytest.approx(axial, rel=1e-5, abs=1e-5)
    # both criteria as eigenvalues of the stress tensor
    tensors = np.zeros((radii.size, 3, 3))
    for place, part in enumerate((hoop, radial, axial)):
        tensors[:, place, place] = part
    main = np.linalg.eigvalsh(tensors)
    deviators = tensors - np.trace(tensors, axis1=1, axis2=2)[:, None, None] / 3 * np.eye(3)
    assert field.tresca == pytest.approx(main[:, 2] - main[:, 0], rel=2e-5, abs=2e-5)
    assert field.von_mises == pytest.approx(
        np.sqrt(1.5 * np.sum(deviators**2, axis=(1, 2))), rel=2e-5, abs=2e-5
    )


def test_shapes_and_defaults():
    field = stress_field(np.full((3, 1), 9.0), 8.0, [10.0, 12.0], 5.0)
    assert {part.shape for part in vars(field).values()} == {(3, 2)}
    assert np.all(field.axial == 0.0)
    # no pressure in the bore when none is given: s_t = -q b^2 (1 + a^2/r^2)/(b^2 - a^2)
    assert stress_field(9.0, 8.0, 10.0, outside_pressure=5.0).hoop == pytest.approx(
        -5.0 * 100.0 * (1 + 64.0 / 81.0) / 36.0, rel=1e-12
    )
    held = stress_field(9.0, 8.0, 10.0, 5.0, ends="held")
    assert held.axial == pytest.approx(0.3 * 2 * 5.0 * 64.0 / 36.0, rel=1e-12)


def test_radii_and_refusals():
    assert radii_between(8.0, 10.0, 5) == pytest.approx([8.0, 8.5, 9.0, 9.5, 10.0])
    assert radii_between(8.0, 10.0).shape == (101,)
    assert radii_between(0.0, 1.0, 2) == pytest.approx([0.0, 1.0])
    for arguments, key in [
        ((10.0, 10.0), "outer_radius"), ((8.0, [9.0, 10.0]), "outer_radius"), (([7.0, 8.0], 9.0), "outer_radius"),
        ((8.0, 10.0, 1), "count"), ((8.0, 10.0, 2.0), "count"), ((8.0, 10.0, True), "count"), ((-1.0, 10.0), "inner"),
    ]:  # fmt: skip
        with pytest.raises(ParameterError, match=key):
            radii_between(*arguments)
    with pytest.raises(ParameterError, match="ends"):
        stress_field(9.0, 8.0, 10.0, 5.0, ends="clamped")
    with pytest.raises(ParameterError, match="poisson"):
        stress_field([9.0, 9.5], 8.0, 10.0, 5.0, ends="held", poisson=[0.3, 0.3, 0.3])
