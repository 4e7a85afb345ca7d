"""Bead colours from a photograph of heaps, tubes or swatches on a plain ground."""
