"""A thin lens whose picture is a window anywhere beside the optical axis, as when a phone's photo is cropped.

Mitsuba's own thin lens offers this only through the film's window, whose numbers are compiled into the kernel: every
picture would compile anew (8 to 12 s on 2 CPU cores). Here all numbers are data.
"""

from typing import Any

from plugsight.synthetic.viewpoint import Camera

PLUGIN = "plugsight_lens"


def register(mi: Any) -> None:
    """Make the sensor plug-in known to the selected Mitsuba variant."""
    import drjit as dr  # noqa: PLC0415 - the render extra may be missing

    class PhoneLens(mi.Sensor):  # type: ignore[misc]
        """Sensor with a disk aperture; set by ``aim``."""

        def __init__(self, props: Any) -> None:
            super().__init__(props)
            self.m_needs_sample_3 = True
            self.numbers = [mi.Float(0.0) for _ in range(17)]

        def aim(self, camera: Camera, aperture_mm: float) -> None:
            """Take the pose, the window and the focus of a camera."""
            f, n = camera.focal_px, camera.size_px
            left = (camera.offset_px[0] - camera.film_px / 2) / f
            top = (camera.offset_px[1] - camera.film_px / 2) / f
            plain = [
                *camera.position,
                *camera.right,
                *camera.down,
                *camera.forward,
                left,
                top,
                n / f,
                aperture_mm,
                camera.focus_mm,
            ]
            self.numbers = [
                dr.opaque(mi.Float, float(v)) if dr.is_jit_v(mi.Float) else float(v) for v in plain
            ]

        # The signature is Mitsuba's; wavelength and mask are not needed here.
        def sample_ray(
            self,
            time: Any,
            wavelength_sample: Any,  # noqa: ARG002
            position_sample: Any,
            aperture_sample: Any,
            active: Any = True,  # noqa: ARG002
        ) -> Any:
            """Return a ray through the aperture and the point in focus, and its weight."""
            v = self.numbers
            at, right, down, forward = (mi.Vector3f(v[i], v[i + 1], v[i + 2]) for i in (0, 3, 6, 9))
            x = v[12] + v[14] * position_sample.x
            y = v[13] + v[14] * position_sample.y
            spot = mi.warp.square_to_uniform_disk_concentric(aperture_sample) * v[15]
            lens = spot.x * right + spot.y * down
            aim = v[16] * (forward + x * right + y * down)
            ray = mi.Ray3f(mi.Point3f(at + lens), dr.normalize(aim - lens))
            ray.time = time
            return ray, mi.Color3f(1.0)

        def bbox(self) -> Any:
            """Return a point box at the lens."""
            return mi.ScalarBoundingBox3f(mi.ScalarPoint3f(0, 0, 0))

        def to_string(self) -> str:
            """Name for Mitsuba's log."""
            return "PhoneLens[]"

    mi.register_sensor(PLUGIN, PhoneLens)
