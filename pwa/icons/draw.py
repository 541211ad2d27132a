"""Draw the app's icons: the level mark, a wedge standing on a water line, on the rim's colour.

Run `npm run icons` after a change; the pictures are kept beside the manifest.
"""

from pathlib import Path

from PIL import Image, ImageDraw

RIM, WEDGE, WATER = "#12201e", "#ffffff", "#97d0e8"
LINES = (((1.5, 15.0), (22.5, 15.0)), ((5.5, 19.5), (18.5, 19.5)), ((9.0, 23.5), (15.0, 23.5)))
OUT = Path(__file__).parent.parent / "public" / "icons"
OVERSIZE = 8  # drawn larger, then scaled down, for smooth edges


def mark(size: int, share: float, corner: float) -> Image.Image:
    """The mark filling `share` of a square of `size` pixels whose corners are cut by `corner`."""
    big = size * OVERSIZE
    image = Image.new("RGBA", (big, big), (0, 0, 0, 0))
    draw = ImageDraw.Draw(image)
    draw.rounded_rectangle((0, 0, big - 1, big - 1), radius=big * corner, fill=RIM)
    scale = big * share / 24
    left, top = big / 2 - 12 * scale, big / 2 - 12.25 * scale

    def at(x: float, y: float) -> tuple[float, float]:
        return left + x * scale, top + y * scale

    draw.polygon([at(5, 1), at(19, 1), at(12, 12)], fill=WEDGE)
    for start, end in LINES:
        radius = 1.125 * scale
        for x, y in (at(*start), at(*end)):
            draw.ellipse((x - radius, y - radius, x + radius, y + radius), fill=WATER)
        (x0, y0), (x1, y1) = at(*start), at(*end)
        draw.rectangle((x0, y0 - radius, x1, y1 + radius), fill=WATER)
    return image.resize((size, size), Image.Resampling.LANCZOS)


if __name__ == "__main__":
    mark(192, 0.66, 0.12).save(OUT / "mark-192.png", optimize=True)
    mark(512, 0.66, 0.12).save(OUT / "mark-512.png", optimize=True)
    # A mask may cut off everything outside the inner 80 %, and a touch icon is cut by the system.
    mark(512, 0.5, 0).save(OUT / "maskable-512.png", optimize=True)
    mark(180, 0.6, 0).convert("RGB").save(OUT / "touch-180.png", optimize=True)
