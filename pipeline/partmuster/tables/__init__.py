"""What the layout of tables is told by: headings, content, titles, section rows, survey marks."""
