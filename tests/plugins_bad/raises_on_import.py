raise RuntimeError("no such driver")
