"""The club's folder: one DuckDB file, an archive of sources, the club's own vocabulary."""
