"""How a person with a tape writes a yard down: offsets, ties and plain figures on one sheet of paper."""
