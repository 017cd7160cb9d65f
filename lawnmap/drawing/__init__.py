"""The local page where a yard is traced: paper, scale, shapes, and the folder they are kept in."""
