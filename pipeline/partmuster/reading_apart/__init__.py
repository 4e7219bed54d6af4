"""Reading in a process of its own, which may crash, hang or grow without harm."""
