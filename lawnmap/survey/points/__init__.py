"""How a data collector writes survey points down: numbered coordinates with codes and line commands."""
