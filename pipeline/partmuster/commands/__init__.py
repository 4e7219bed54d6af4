"""What the commands do, one module a group; imported only when a command runs."""

#: In a call's ``meta``: something failed that did not stop the command.
FAILED_ASIDE = "partmuster.failed-aside"
