"""Models are made lighter before they are loaded, and see the same; boxes stand around text."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from partmuster_plugins.parts_lists.finding import boxes_in
from partmuster_plugins.parts_lists.models import letters_of, lightened, model_of, session
from tests.pages.drawing import draw_page

PAGE = np.asarray(draw_page([("H-101-2", "BOX, steering"), ("H-102-2", "SHAFT")], (0.8, 2.5)))


def said(model: bytes, picture: np.ndarray) -> np.ndarray:
    three = np.stack([picture.astype(np.float32) / 127.5 - 1] * 3)[None]
    return session(model, 1).run(None, {"x": three})[0]


def test_a_lighter_model_finds_the_same() -> None:
    model = model_of("rapidocr", "det")
    small = cv2.resize(PAGE[:640, :960], (480, 320))
    lighter = lightened(model)
    assert lighter != model
    assert np.array_equal(said(model, small), said(lighter, small))


def test_a_model_of_fewer_letters_is_as_sure_of_each_among_them() -> None:
    model = model_of("rapidocr", "rec")
    letters = ["", *letters_of(model), " "]
    kept = [at for at, letter in enumerate(letters) if len(letter) < 2 and letter <= "~"]
    strip = cv2.resize(PAGE[180:240, 150:450], (240, 48))
    whole = said(model, strip)[:, :, kept]
    few = said(lightened(model, kept, len(letters)), strip)
    assert few.shape == whole.shape
    assert np.allclose(few, whole / whole.sum(axis=2, keepdims=True), atol=1e-4)


def test_a_model_that_ends_otherwise_keeps_all_its_letters() -> None:
    model = model_of("rapidocr", "rec")
    strip = cv2.resize(PAGE[180:240, 150:450], (240, 48))
    assert said(lightened(model, [0, 1], 17), strip).shape == said(model, strip).shape


def test_a_package_without_models_is_told_of() -> None:
    with pytest.raises(FileNotFoundError, match="json carries no model of text"):
        model_of("json", "det")


def test_boxes_grow_around_text_and_stand_line_by_line() -> None:
    seen = np.zeros((100, 200), np.float32)
    seen[50:58, 20:80] = seen[51:59, 120:180] = seen[10:18, 100:150] = 0.9
    seen[80:88, 20:80] = 0.4  # too unsure
    seen[90, 90] = 0.9  # a speck
    boxes = boxes_in(seen, 400, 200)
    assert len(boxes) == 3
    drawn = [(200, 20, 300, 36), (40, 100, 160, 116), (240, 102, 360, 118)]
    for (x0, y0, x1, y1), (left, top, right, low) in zip(boxes.tolist(), drawn, strict=True):
        assert left - 16 < x0 < left
        assert top - 16 < y0 < top
        assert right < x1 < right + 16
        assert low < y1 < low + 16


def test_a_page_without_text_has_no_boxes() -> None:
    assert boxes_in(np.zeros((32, 32), np.float32), 64, 64).shape == (0, 4)
