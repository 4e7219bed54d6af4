from partmuster.plugin_api import hookimpl


class NoReader:
    name = "no-reader"
    version = "1"


class Nameless:
    name = None
    version = "1"

    def sniff(self, source):
        return None

    def read(self, source):
        return iter(())


class Good(Nameless):
    name = "good-among-nonsense"


@hookimpl
def partmuster_importers():
    return ["importer", NoReader(), Nameless(), Good, Good()]
