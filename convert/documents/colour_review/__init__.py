"""Reviewing the colour count: the same work in few and in many colours, with what each would take."""
