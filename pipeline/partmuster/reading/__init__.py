"""Pure readers of cell text: ``text -> frozen reading``; standard library only, cached."""
