"""Labels for the bags of kits."""
