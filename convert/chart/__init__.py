"""Drawing a design as a chart."""
