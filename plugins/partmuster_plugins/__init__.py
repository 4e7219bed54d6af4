"""The built-in plugins, one folder each. Only the command line names them to the core."""
