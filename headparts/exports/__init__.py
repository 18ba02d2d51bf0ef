"""Files for the shop: safe folders, STEP, STL and the manifest that lists them."""
