from partmuster.plugin_api import Claim, hookimpl


class BadClaims:
    version = "1"

    def __init__(self, name, claim):
        self.name = name
        self.claim = claim

    def sniff(self, source):
        return self.claim

    def read(self, source):
        return iter(())


@hookimpl
def partmuster_importers():
    return [
        BadClaims("claims-words-alone", "yes"),
        BadClaims("claims-too-much", Claim(2.0)),
        BadClaims("claims-nothing-known", Claim(float("nan"))),
        BadClaims("claims-words", Claim("very sure")),
    ]
