"""The pinhole of a view against OpenCV's own projection, and what the drawn views promise."""

import cv2
import numpy as np
import pytest

from plugsight.synthetic.draw_view import Extent, draw_viewpoint
from plugsight.synthetic.viewpoint import camera_of, direction

THING = Extent(major_diameter=13.8, highest_z=6.5, lowest_z=-60.0, gap=(0.1, 0.0, 4.2))


def views(kind, count=60, **options):
    return [draw_viewpoint(np.random.default_rng(seed), kind, THING, 512, **options) for seed in range(count)]


@pytest.mark.parametrize("kind", ["side", "oblique", "end"])
def test_projection_agrees_with_opencv(kind):
    rng = np.random.default_rng(3)
    points = rng.uniform(-8, 8, (20, 3))
    for view in views(kind, 15):
        camera = camera_of(view)
        turn = np.stack([camera.right, camera.down, camera.forward])
        # OpenCV's principal point in pixel-centre coordinates.
        middle = [camera.film_px / 2 - 0.5 - camera.offset_px[k] for k in (0, 1)]
        inner = np.array([[camera.focal_px, 0, middle[0]], [0, camera.focal_px, middle[1]], [0, 0, 1]])
        seen, _ = cv2.projectPoints(points, cv2.Rodrigues(turn)[0], -turn @ camera.position, inner, None)
        assert np.allclose(camera.project(points)[:, :2], seen[:, 0], atol=1e-6)
        by_matrix = np.concatenate([points, np.ones((20, 1))], 1) @ camera.matrix.T
        assert np.allclose(by_matrix[:, :2] / by_matrix[:, 2:], seen[:, 0], atol=1e-6)


@pytest.mark.parametrize("kind", ["side", "oblique", "end"])
def test_tilt_and_distance_are_those_of_the_line_from_gap_to_lens(kind):
    for view in views(kind):
        line = camera_of(view).position - np.array(view.gap_mm)
        assert np.linalg.norm(line) == pytest.approx(view.distance_mm)
        assert np.degrees(np.arcsin(line[2] / view.distance_mm)) == pytest.approx(view.tilt_deg, abs=1e-6)


def test_side_views_tilt_both_ways_and_show_the_strap_on_both_sides():
    drawn = views("side", 120, careful=1.0)
    assert min(v.tilt_deg for v in drawn) < -3 < 3 < max(v.tilt_deg for v in drawn)
    assert max(v.strap_off_profile_deg for v in drawn) <= 35
    assert {v.strap_side for v in drawn} == {"left", "right"}


def test_strap_side_is_where_the_strap_projects_to():
    for view in views("side", 40, careful=1.0):
        camera = camera_of(view)
        axis, strap = camera.project(np.array([[0, 0, 0.0], [6.0, 0, 0.0]]))[:, :2]
        along = camera.project(np.array([[0, 0, 1.0]]))[0, :2] - axis
        across = np.array([-along[1], along[0]])  # to the right of "up" in a picture whose rows run down
        side = "right" if (strap - axis) @ across > 0 else "left"
        assert side == view.strap_side


def test_rays_meet_the_pixels_that_points_project_to():
    camera = camera_of(views("side", 1)[0])
    origin, way = camera.rays(per_pixel=1)
    spots = origin + way[[100, 400], [30, 222]] * 90.0
    assert np.allclose(camera.project(spots)[:, :2], [[30, 100], [222, 400]], atol=1e-6)


def test_roomy_frames_hold_the_whole_crop():
    from plugsight.synthetic.canonical_crop import CROP_PX, crop_matrix

    inside = 0
    drawn = views("oblique", 60, roomy=True)
    for view in drawn:
        matrix, _ = crop_matrix(view, camera_of(view), THING.major_diameter)
        back = cv2.invertAffineTransform(matrix)
        corners = np.array([[0, 0, 1], [CROP_PX, 0, 1], [0, CROP_PX, 1], [CROP_PX, CROP_PX, 1]]) @ back.T
        inside += bool(((corners > -40) & (corners < view.size_px + 40)).all())
    assert inside >= 0.9 * len(drawn)


def test_direction_is_a_unit_vector_along_the_axis_when_end_on():
    assert np.allclose(direction(90, 37), [0, 0, 1])
