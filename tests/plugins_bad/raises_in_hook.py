from partmuster.plugin_api import hookimpl


@hookimpl
def partmuster_importers():
    raise KeyError("settings")
