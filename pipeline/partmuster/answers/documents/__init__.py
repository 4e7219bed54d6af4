"""What a club sends out about a month: frames of sections, and the view that publishers get.

``months`` says which days are compared, ``moment`` reads the club as it stood at the end of one;
``stock``, ``wanting``, ``vehicles``, ``offers``, ``settling`` and ``figures`` make the sections of
``partmuster_schemas.report`` out of two moments; ``report`` gathers them. ``audience`` is the one
place that leaves out what an audience may not see, and ``view`` what is handed to publishers.
"""
