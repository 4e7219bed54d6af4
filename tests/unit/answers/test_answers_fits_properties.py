"""What must hold of what serves in every club, and the same worked out by a plain walk."""

from __future__ import annotations

import datetime as dt
import itertools

import networkx as nx
from hypothesis import HealthCheck, Phase, example, given, settings
from hypothesis import strategies as st

from partmuster.answers.chains import keep_fits
from partmuster.answers.sql import keep_vehicles, question
from tests.long import examples

from .conftest import VOCABULARY

MARKS = ("Mk 1", "Mk 2", "Mk 3", "Mk 4")
HANDS = ("left", "right")
NODES = tuple(itertools.product(HANDS, MARKS))
#: From the best to the worst; what is unknown and what never goes come after.
GRADES = ("as-is", "one-way", "with-work", "only-as-a-set")
DAY = dt.date(2026, 1, 1)

marks = st.sampled_from((*MARKS, None))
statements = st.lists(
    st.fixed_dictionaries({
        "on": marks,
        "to": marks,
        "hands": st.sampled_from(((None, None), (None, None), ("left", "left"), ("left", "right"))),
        "grade": st.sampled_from((*GRADES, "as-is", "one-way", "never", "unknown")),
        "sure": st.sampled_from((True, True, True, False)),
    }),
    max_size=7,
)  # fmt: skip
quickly = settings(
    max_examples=examples(12), deadline=None,
    phases=(Phase.explicit, Phase.reuse, Phase.generate),  # a club takes too long to shrink
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)  # fmt: skip
few = settings(quickly, max_examples=examples(4))


def said(on, to, grade="as-is", hands=(None, None), sure=True):
    return {"on": on, "to": to, "hands": hands, "grade": grade, "sure": sure}


def told(make_club, lines, order=None):
    """Return a club of a vehicle a mark in which this is said, each line on a day of its own."""
    club = make_club()
    for mark in MARKS:
        club.vehicle(f"Otter {mark}", mark=mark, aim="full-original")
    for day, line in order or list(enumerate(lines)):
        club.fit(
            "track-guard", line["grade"], family="Otter", to_family="Otter", mark=line["on"],
            to_mark=line["to"], side=line["hands"][0], to_side=line["hands"][1],
            sure=line["sure"], said_on=DAY + dt.timedelta(day), words=f"said on day {day}",
        )  # fmt: skip
    return club


def served(club):
    """Return {(wanted, source): row} for guards of each hand and mark."""
    con = club.connect()
    with question(con, VOCABULARY, None, known_now=False) as asked:
        keep_vehicles(asked)
        keep_fits(asked)
        found = con.execute("""
            WITH wanted AS (
                SELECT row_number() OVER (ORDER BY hand, mark) - 1 AS target, hand, mark
                FROM (SELECT unnest(['left', 'right']) AS hand),
                     (SELECT DISTINCT mark FROM known_builds(NULL, false) WHERE phase IS NULL)
            )
            SELECT target, on_hand, mark, grade, chain, derived, work, doubt FROM (
                SELECT *, unnest(members).mark AS mark FROM fit_chains(
                    (SELECT list({'target': target, 'part_id': 'track-guard', 'hand': hand,
                        'position': NULL::VARCHAR, 'assembly': 'hull', 'family': 'otter',
                        'mark': mark, 'phase': NULL::VARCHAR, 'numbers': NULL::VARCHAR[]})
                     FROM wanted),
                    CAST([] AS STRUCT(part_id VARCHAR, family VARCHAR, mark VARCHAR, phase VARCHAR,
                                      number VARCHAR)[]), NULL, false)
            ) WHERE mark IS NOT NULL
        """).fetchall()
    return {(NODES[target], (hand, mark)): rest for target, hand, mark, *rest in found}


@quickly
@given(statements)
@example([said("Mk 1", "Mk 2", "one-way"), said("Mk 2", "Mk 3"), said("Mk 3", "Mk 1")])
@example([said("Mk 4", "Mk 3"), said("Mk 3", "Mk 2"), said("Mk 2", "Mk 1"),
          said("Mk 4", "Mk 2", "never")])  # fmt: skip
@example([said("Mk 2", "Mk 1"), said("Mk 3", "Mk 2", "with-work", ("left", "right")),
          said(None, "Mk 1", "never", sure=False)])  # fmt: skip
@example([said("Mk 3", None), said(None, None, "with-work", sure=False)])
@example([said("Mk 3", None), said(None, None, "unknown", sure=False)])
def test_what_serves_is_what_a_plain_walk_over_all_paths_finds(make_club, lines):
    found = served(told(make_club, lines))
    assert {pair: row[0] for pair, row in found.items()} == plainly(lines)


@quickly
@given(statements, st.randoms(use_true_random=False))
def test_the_order_of_statements_never_matters(make_club, lines, random):
    before = served(told(make_club, lines))
    order = list(enumerate(lines))
    random.shuffle(order)
    assert served(told(make_club, lines, order)) == before


@quickly
@given(statements, marks, marks)
@example([said("Mk 3", "Mk 1", hands=("left", "right")), said("Mk 4", "Mk 2", "only-as-a-set",
          ("left", "left"), sure=False), said("Mk 2", "Mk 4", "only-as-a-set", ("left", "right")),
          said("Mk 3", "Mk 1", "unknown"), said(None, None, "unknown"),
          said("Mk 3", "Mk 2", "one-way", sure=False), said(None, "Mk 3", "one-way", sure=False)],
         None, "Mk 1")  # fmt: skip
@example([said("Mk 2", "Mk 1", "with-work"), said("Mk 4", "Mk 2", "with-work", ("left", "right")),
          said("Mk 1", None, hands=(None, None), sure=False),
          said("Mk 1", None, hands=("left", "right")), said("Mk 1", "Mk 1", "with-work"),
          said("Mk 3", None, "one-way", ("left", "left"), sure=False),
          said("Mk 2", "Mk 1", "with-work", ("left", "left"))], "Mk 1", None)  # fmt: skip
def test_a_sure_never_can_only_take_away_what_serves(make_club, lines, on, to):
    before = served(told(make_club, lines))
    after = served(told(make_club, [*lines, said(on, to, "never")]))
    serves = {pair for pair, row in after.items() if row[0] != "never"}
    assert serves <= {pair for pair, row in before.items() if row[0] != "never"}
    for pair in serves:  # and makes nothing better
        assert better_or_equal(before[pair], after[pair])


@few
@given(statements, marks, marks)
def test_a_sure_never_can_only_take_away_offers(make_club, lines, on, to):
    before = offers(told(make_club, lines))
    assert offers(told(make_club, [*lines, said(on, to, "never")])) <= before


@few
@given(statements, st.sampled_from(NODES))
def test_a_holding_can_only_add_offers_and_changes_no_lack(make_club, lines, item):
    club = told(make_club, lines)
    before = offers(club)
    lacking = club.lacks("Otter Mk 1")
    hand, mark = item
    club.holding("Zoe", "track-guard", family="Otter", mark=mark, side=hand)
    assert club.lacks("Otter Mk 1") == lacking
    assert before <= offers(club)


def offers(club):
    """Return who is not refused for the left guard that a Mk 1 lacks, of holders of every guard."""
    club.requirement("track-guard", 1, {"mark": "Mk 1"}, side="left")
    club.survey("Otter Mk 1", "track-guard", "missing", side="left")
    for hand, mark in NODES:
        club.holding(f"{hand} {mark}", "track-guard", family="Otter", mark=mark, side=hand)
    return {
        row["source"] for row in club.donors("Otter Mk 1")
        if row["rank"] and row["standing"] != "not offered"
    }  # fmt: skip


def better_or_equal(one, other):
    """Tell whether what serves is no worse: known before unknown, sure before hedged, by grade."""
    return rank(one) <= rank(other)


def rank(row):
    grade, doubt = row[0], row[-1]
    # of what is unknown, none is better known than another
    return (True, 0, 0) if grade == "unknown" else (False, doubt, (*GRADES, "never").index(grade))


# The plain way: every simple path of links, one by one.


def plainly(lines):
    """Return {(wanted, source): grade} of what is told to serve, or never to serve."""
    chosen = {
        (a, b): choice for a, b in itertools.product(NODES, NODES)
        if (choice := what_counts(lines, a, b)) is not None
    }  # fmt: skip
    graph = nx.DiGraph([pair for pair, (verdict, _, _) in chosen.items() if verdict == "link"])
    graph.add_nodes_from(NODES)
    answer = {}
    for target, source in itertools.product(NODES, NODES):
        verdict, grade, doubt = chosen.get((source, target), (None, None, 0))
        if verdict == "never":
            answer[target, source] = "never"
            continue
        ways = []
        if verdict is not None:
            ways.append((grade if verdict == "link" and doubt < 2 else "unknown",
                         verdict == "open", doubt))  # fmt: skip
        # no chain leads back to where it began
        paths = nx.all_simple_paths(graph, source, target, cutoff=8) if source != target else ()
        ways += [
            graded(lines, chosen, path)
            for path in paths
            if len(path) > 2 and is_allowed(lines, chosen, path)
        ]
        if ways:
            answer[target, source] = min(ways, key=lambda w: (
                w[0] == "unknown", w[1], w[2], (*GRADES, "unknown").index(w[0])))[0]  # fmt: skip
    return answer


def is_allowed(lines, chosen, path):
    """Whether no never speaks of two on the path, and nothing sure of a source and the target."""
    if any(covered(lines, a, b, sure=True) for a, b in itertools.combinations(path, 2)):
        return False
    direct = [chosen.get((node, path[-1]), ("", "", 9)) for node in path[:-2]]
    return not any(v == "never" or (v == "link" and doubt == 0) for v, _, doubt in direct)


def graded(lines, chosen, path):
    links = [chosen[pair] for pair in itertools.pairwise(path)]
    doubt = max(doubt for _, _, doubt in links)
    if any(covered(lines, a, b, sure=False) for a, b in itertools.combinations(path, 2)):
        doubt = 2
    grades = [grade for _, grade, _ in links]
    if doubt or grades.count("with-work") > 1:
        return "unknown", False, doubt
    return max(grades, key=GRADES.index), False, doubt


def covered(lines, a, b, *, sure):
    """Whether somebody says that this never goes there; without hands, of any."""
    return any(
        line["grade"] == "never" and line["sure"] == sure
        and line["on"] in (None, a[1]) and line["to"] in (None, b[1])
        and line["hands"] in ((None, None), (a[0], b[0]))
        for line in lines
    )  # fmt: skip


def what_counts(lines, a, b):
    """Return (link, open or never; grade; doubt) of what is said of two guards themselves."""
    speaking = []
    for day, line in enumerate(lines):
        for backwards in (False, True):
            grade, on, to, hands = line["grade"], line["on"], line["to"], line["hands"]
            if backwards:
                if grade not in ("as-is", "one-way"):
                    continue
                grade = "never" if grade == "one-way" else grade
                on, to, hands = to, on, hands[::-1]
            same = hands == (a[0], b[0]) or (hands == (None, None) and a[0] == b[0])
            if same and on in (None, a[1]) and to in (None, b[1]):
                hedged_never = grade == "never" and not backwards
                speaking.append(((not hedged_never, not line["sure"], backwards, -day), grade))
    if not speaking:
        return None
    if covered(lines, a, b, sure=True):
        return "never", None, 0
    best = min(speaking)
    if best[1] == "never" and best[0][0] and not best[0][1]:
        return "never", None, 0
    links = [one for one in speaking if one[1] not in ("never", "unknown")]
    if not links:
        return "open", None, 0
    (_, hedged, _, _), grade = min(links)
    return "link", grade, 2 if covered(lines, a, b, sure=False) else int(hedged)
