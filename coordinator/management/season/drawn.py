"""Draw a stone, or a piece, as a camera would see it: an example holds no picture of a real one."""

import random
from dataclasses import dataclass
from io import BytesIO

from PIL import Image, ImageChops, ImageDraw, ImageFilter, ImageFont

from workdays.drawing.signs import OUTLINES, Shape, turned

WIDTH, HEIGHT = 1200, 1500
HORIZON_Y, GROUND_Y = 740, 1180
STONES = {
    "marble": (226, 222, 212),
    "limestone": (205, 194, 168),
    "sandstone": (176, 134, 102),
    "granite": (168, 166, 166),
    "slate": (104, 112, 122),
}
GREYS = Image.frombytes("L", (256, 1), bytes(range(256)))
SKY, TREES, GRASS, GROWTH = (214, 224, 228), (112, 132, 104), (118, 132, 82), (62, 70, 48)


@dataclass(frozen=True)
class Look:
    """What the picture shows: how overgrown (0 to 1), how far it leans, whether it is broken."""

    growth: float = 0.0
    lean_degrees: float = 0.0
    broken: bool = False


def picture(kind: str, material: str, words: list[str], look: Look, *, seed: str) -> bytes:
    """Return a JPEG; the same words and seed give the same picture."""
    dice = random.Random(seed)  # noqa: S311  # an example, the same everywhere
    scene = _scene(dice)
    stone = _face(STONES.get(material, STONES["marble"]), words, kind, dice)
    stone.paste(GROWTH, mask=_dirt(look.growth, dice))
    for shown, lift in _parts(kind, look):
        # The foot goes on below ground, so that a leaning stone does not stand on one corner.
        part = tuple((x, 6.0 if y == 0 else y) for x, y in shown)
        mask = _mask(turned(part, look.lean_degrees), kind, lift)
        _cast(scene, mask)
        scene.paste(stone, mask=mask)
        scene.paste((40, 42, 40), mask=_edge(mask))
    _tufts(scene, dice)
    out = BytesIO()
    scene.save(out, "JPEG", quality=88)
    return out.getvalue()


def fragment(material: str, letters: str, *, seed: str) -> bytes:
    """Return a JPEG of a broken piece that lies in the grass, two finished edges to the left."""
    dice = random.Random(seed)  # noqa: S311  # an example, the same everywhere
    colour = STONES.get(material, STONES["marble"])
    scene = _scene(dice).crop((0, 760, WIDTH, HEIGHT)).resize((WIDTH, HEIGHT))
    corners = [(300, 420), (760, 470), (700, 610), (850, 760), (720, 880), (760, 1010), (290, 1000)]
    mask = Image.new("L", (WIDTH, HEIGHT), 0)
    ImageDraw.Draw(mask).polygon(corners, fill=255)
    mask = mask.filter(ImageFilter.GaussianBlur(1.5))
    face = Image.blend(
        _toned(colour, _blotches(dice, 4), 0.3), _toned(colour, _blotches(dice, 120), 0.7), 0.5
    )
    draw = ImageDraw.Draw(face)
    for line, word in enumerate(letters.split("/")):
        at = (340, 560 + line * 130)
        draw.text(at, word.strip(), tuple(c * 3 // 5 for c in colour), ImageFont.load_default(110))
    face.paste(GROWTH, mask=_dirt(0.2, dice))
    _cast(scene, mask)
    scene.paste(face, mask=mask)
    scene.paste((40, 42, 40), mask=_edge(mask))
    out = BytesIO()
    scene.save(out, "JPEG", quality=88)
    return out.getvalue()


def _blotches(dice: random.Random, spot: int) -> Image.Image:
    """Return soft grey blotches of about so many pixels."""
    size = (WIDTH // spot + 1, HEIGHT // spot + 1)
    coarse = Image.frombytes("L", size, dice.randbytes(size[0] * size[1]))
    return coarse.resize((WIDTH, HEIGHT), Image.Resampling.BICUBIC)


def _dirt(share: float, dice: random.Random) -> Image.Image:
    """Return where dirt sits: ragged patches with soft edges, thinner within."""
    patches = Image.blend(_blotches(dice, 90), _blotches(dice, 26), 0.35)
    ragged = Image.blend(patches, _blotches(dice, 7), 0.22)
    return ragged.point(lambda value: max(0, min(225, round((value - 255 * (1 - share)) * 5))))


def _toned(colour: tuple[int, int, int], grain: Image.Image, share: float) -> Image.Image:
    """Return a colour with a grain in it: what each grey gives is mixed once, not at each pixel."""
    flat = Image.new("RGB", GREYS.size, colour)
    mixed = Image.blend(flat, ImageChops.overlay(flat, Image.merge("RGB", [GREYS] * 3)), share)
    return Image.merge("RGB", [grain.point(list(band.tobytes())) for band in mixed.split()])


def _scene(dice: random.Random) -> Image.Image:
    scene = _toned(SKY, _blotches(dice, 300), 0.35)
    draw = ImageDraw.Draw(scene)
    for _ in range(26):
        x, y, r = dice.randint(-60, WIDTH), dice.randint(560, 700), dice.randint(70, 170)
        shade = dice.randint(-14, 14)
        draw.ellipse((x - r, y - r, x + r, y + r), fill=tuple(c + shade for c in TREES))
    hazy = scene.crop((0, 0, WIDTH, HORIZON_Y + 100)).filter(ImageFilter.GaussianBlur(14))
    scene.paste(hazy)
    grass = _toned(GRASS, Image.blend(_blotches(dice, 9), _blotches(dice, 150), 0.6), 0.45)
    scene.paste(grass.crop((0, HORIZON_Y, WIDTH, HEIGHT)), (0, HORIZON_Y))
    return scene


def _scale(kind: str) -> float:
    """Every stone fills the picture about as high as somebody would take it."""
    shape = OUTLINES[kind]
    wide, high = max(x for x, _ in shape), -min(y for _, y in shape)
    return min(880 / high, 430 / wide)


def _face(
    colour: tuple[int, int, int], words: list[str], kind: str, dice: random.Random
) -> Image.Image:
    face = _toned(colour, _blotches(dice, 4), 0.3)
    face = Image.blend(face, _toned(colour, _blotches(dice, 120), 0.7), 0.5)
    if kind in ("tablet", "shouldered", "footstone", "pedestal"):
        draw = ImageDraw.Draw(face)
        high = -min(y for _, y in OUTLINES[kind]) * _scale(kind)
        for line, word in enumerate(words):
            font = ImageFont.load_default(76 if line == 0 else 62)
            at = (WIDTH // 2, GROUND_Y - high * 0.6 + line * 104)
            draw.text((at[0] + 2, at[1] + 3), word, (250, 248, 240), font, anchor="mm")
            draw.text(at, word, tuple(c * 3 // 5 for c in colour), font, anchor="mm")
    return face


def _parts(kind: str, look: Look) -> list[tuple[Shape, tuple[int, int]]]:
    """Return the shapes to draw, each with how far it slipped: one, or two when it is broken."""
    shape = OUTLINES[kind]
    if not look.broken:
        return [(shape, (0, 0))]
    level = min(y for _, y in shape) * 0.45
    half = max(abs(x) for x, _ in shape)
    crack = [
        (-half, level),
        (-half * 0.3, level - 1.6),
        (half * 0.2, level + 0.9),
        (half, level - 1),
    ]
    upper = [point for point in shape if point[1] < level - 1.7]
    lower = [point for point in shape if point[1] > level + 1]
    left = [point for point in lower if point[0] < 0]
    right = [point for point in lower if point[0] >= 0]
    below = (*left, *crack, *right)
    above = (crack[0], *upper, *reversed(crack[1:]))
    return [(below, (0, 0)), (above, (34, -16))]


def _mask(shape: Shape, kind: str, lift: tuple[int, int]) -> Image.Image:
    scale = _scale(kind)
    corners = [(WIDTH / 2 + x * scale + lift[0], GROUND_Y + y * scale + lift[1]) for x, y in shape]
    mask = Image.new("L", (WIDTH, HEIGHT), 0)
    draw = ImageDraw.Draw(mask)
    draw.polygon(corners, fill=255)
    draw.rectangle((0, GROUND_Y, WIDTH, HEIGHT), fill=0)
    return mask.filter(ImageFilter.GaussianBlur(1.5))


def _cast(scene: Image.Image, mask: Image.Image) -> None:
    """Lay a soft shadow to the right."""
    shadow = ImageChops.offset(mask, 40, 14).filter(ImageFilter.GaussianBlur(22))
    scene.paste((44, 52, 38), mask=shadow.point(lambda value: value * 2 // 5))


def _edge(mask: Image.Image) -> Image.Image:
    """Return the shaded right edge of a stone."""
    inner = ImageChops.offset(mask, -16, 4)
    return ImageChops.subtract(mask, inner).point(lambda value: value * 2 // 5)


def _tufts(scene: Image.Image, dice: random.Random) -> None:
    """Let grass stand before the foot of the stone."""
    draw = ImageDraw.Draw(scene)
    for _ in range(900):
        x, y = dice.randint(0, WIDTH), dice.randint(GROUND_Y - 18, HEIGHT)
        tip = (x + dice.randint(-14, 14), y - dice.randint(24, 70))
        shade = dice.randint(-26, 22)
        draw.line([(x, y), tip], fill=tuple(c + shade for c in GRASS), width=4)
