from partmuster.plugin_api import Claim, NotData, hookimpl


class ClaimsEverything:
    name = "claims-everything"
    version = "1"

    def sniff(self, source):
        return Claim(0.9, "why not")

    def read(self, source):
        yield NotData("nothing in it")


@hookimpl
def partmuster_importers():
    return [ClaimsEverything()]
