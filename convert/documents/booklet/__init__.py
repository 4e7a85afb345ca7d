"""The booklet: a design as a PDF for somebody who has never met its designer."""
