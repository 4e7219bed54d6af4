from partmuster.plugin_api import hookimpl


class RaisesOnSniff:
    name = "raises-on-sniff"
    version = "1"

    def sniff(self, source):
        raise ZeroDivisionError("empty head")

    def read(self, source):
        return iter(())


@hookimpl
def partmuster_importers():
    return [RaisesOnSniff()]
