def partmuster_importers():
    return []
