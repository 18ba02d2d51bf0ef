"""Everything that touches the CAD kernel. Importing this room loads the kernel, or says what is missing."""

from headparts.solids.kernel import load_kernel

load_kernel()
