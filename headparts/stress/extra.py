"""The optional libraries of this room, loaded when they are first needed."""

from __future__ import annotations

from types import ModuleType

from headparts.errors import MissingExtra

INSTALL = "pip install 'headparts[stress]'"


def finite_elements() -> ModuleType:
    """scikit-fem. Raises MissingExtra, naming the extra, where it is not installed."""
    try:
        import skfem
        import skfem.helpers
    except ImportError as error:
        raise MissingExtra(f"the bridge needs scikit-fem, which is not installed: {INSTALL}") from error
    module: ModuleType = skfem
    return module


def mesher() -> ModuleType:
    """gmsh. Raises MissingExtra where it is not installed, or a library of the system that it loads is missing."""
    try:
        import gmsh
    except ImportError as error:
        raise MissingExtra(f"the bridge needs gmsh, which is not installed: {INSTALL}") from error
    except OSError as error:
        raise MissingExtra(
            f"gmsh is installed but cannot be loaded ({error}); on a bare Debian or Ubuntu: "
            "apt-get install --no-install-recommends libglu1-mesa libgomp1 libxcursor1 libxft2 libxinerama1"
        ) from error
    module: ModuleType = gmsh
    return module
