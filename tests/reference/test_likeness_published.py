"""The likeness of words that matching relies on, against published values."""

import pytest
from rapidfuzz.distance import Jaro, JaroWinkler

# SOURCE-SEEN: jellyfish, testdata jaro_winkler.csv (MIT), to three places.
JARO_WINKLER = (
    ("dixon", "dicksonx", 0.813), ("martha", "marhta", 0.961), ("dwayne", "duane", 0.84),
    ("William", "Williams", 0.975), ("", "foo", 0.0), ("a", "a", 1.0), ("abc", "xyz", 0.0),
    ("aaaa", "aaaaa", 0.96), ("orangutan-kumquat", "orangutan kumquat", 0.976),
    ("jaz", "jal", 0.822), ("@", "@@", 0.85), ("0", "0@", 0.85), ("a", "ab", 0.85),
    ("012345", "0123456", 0.971), ("012abc", "012abcd", 0.971), ("012abc", "013abcd", 0.879),
    ("a1bc", "a1be", 0.883),
)  # fmt: skip
# FROM-MEMORY: Winkler (US Census Bureau RR94/05 and RR2006-02), Jaro and Jaro-Winkler. The
# published 0.000 of JON and JAN is the cut-off of the bureau's program: its formula gives these.
CENSUS = (
    ("SHACKLEFORD", "SHACKELFORD", 0.970, 0.982), ("DUNNINGHAM", "CUNNIGHAM", 0.896, 0.896),
    ("NICHLESON", "NICHULSON", 0.926, 0.956), ("JONES", "JOHNSON", 0.790, 0.832),
    ("MASSEY", "MASSIE", 0.889, 0.933), ("ABROMS", "ABRAMS", 0.889, 0.922),
    ("HARDIN", "MARTINEZ", 0.722, 0.722), ("ITMAN", "SMITH", 0.467, 0.467),
    ("JERALDINE", "GERALDINE", 0.926, 0.926), ("MARHTA", "MARTHA", 0.944, 0.961),
    ("MICHELLE", "MICHAEL", 0.869, 0.921), ("JULIES", "JULIUS", 0.889, 0.933),
    ("TANYA", "TONYA", 0.867, 0.880), ("DWAYNE", "DUANE", 0.822, 0.840),
    ("SEAN", "SUSAN", 0.783, 0.805), ("JON", "JOHN", 0.917, 0.933), ("JON", "JAN", 0.778, 0.800),
)  # fmt: skip
# FROM-MEMORY: Clopper and Pearson (Biometrika 26, 1934), as in many tables: none wrong of n gives
# an upper one-sided 95 % bound of 1 - 0.05^(1/n); 10 of 100 has the two-sided 95 % interval
# 0.0490 to 0.1762.
BOUNDS = ((0, 10, 0.95, 0.2589), (0, 100, 0.95, 0.0295), (0, 300, 0.95, 0.00994),
          (10, 100, 0.975, 0.1762), (1, 20, 0.975, 0.2487))  # fmt: skip


@pytest.mark.parametrize(("first", "second", "published"), JARO_WINKLER)
def test_jaro_winkler_of_published_pairs(first, second, published):
    assert round(JaroWinkler.similarity(first, second), 3) == pytest.approx(published, abs=1e-9)


@pytest.mark.parametrize(("first", "second", "jaro", "winkler"), CENSUS)
def test_winklers_table(first, second, jaro, winkler):
    assert round(Jaro.similarity(first, second), 3) == pytest.approx(jaro, abs=1e-9)
    assert round(JaroWinkler.similarity(first, second), 3) == pytest.approx(winkler, abs=1e-9)


@pytest.mark.parametrize(("wrong", "of", "confidence", "published"), BOUNDS)
def test_exact_bounds_of_shares(wrong, of, confidence, published):
    from partmuster.stages.matching.trust_standard import upper_bound

    assert upper_bound(wrong, of, confidence) == pytest.approx(published, abs=6e-5)
