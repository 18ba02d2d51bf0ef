"""What a person reads of a run: lines on a terminal, a printable page, plain Markdown."""
