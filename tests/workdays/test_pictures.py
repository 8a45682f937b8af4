"""Pictures lose what the camera wrote and stand upright; bad ones get a sentence."""

import resource
import sys
from io import BytesIO

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageFile

from tests.workdays import picture_files as files
from workdays import pictures
from workdays.pictures import MOST_BYTES, NotAPicture, Picture, reduced


def made(content: bytes) -> Picture:
    return reduced(BytesIO(content))


def opened(content: bytes) -> Image.Image:
    picture = Image.open(BytesIO(content))
    picture.load()
    return picture


def markers(content: bytes) -> set[int]:
    """Return the marker codes of a JPEG before its pixels (ITU-T T.81, B.1.1)."""
    found, at = set[int](), 2
    while content[at + 1] != 0xDA:
        found.add(content[at + 1])
        at += 2 + int.from_bytes(content[at + 2 : at + 4], "big")
    return found


def is_red(picture: Image.Image, where: tuple[int, int]) -> bool:
    red, green, _ = picture.getpixel(where)  # type: ignore[misc]  # RGB gives three
    return bool(red > 120 and green < 90)


def refusal(content: bytes) -> NotAPicture:
    with pytest.raises(NotAPicture) as said:
        made(content)
    assert str(said.value).endswith(".")
    return said.value


@pytest.mark.parametrize(
    "content",
    [files.talkative_jpeg(), files.talkative_png(), files.talkative_webp()],
    ids=["jpeg", "png", "webp"],
)
def test_nothing_that_a_camera_wrote_is_left(content: bytes) -> None:
    assert files.SECRET.encode() in content or b"zTXt" in content or b"iTXt" in content
    picture = made(content)
    for size in (picture.large, picture.medium, picture.small):
        # Only the frame header JFIF (E0), tables and frames; no EXIF, XMP, ICC, IPTC, comment.
        assert markers(size) & ({*range(0xE1, 0xF0)} | {0xFE}) == set()
        assert size.endswith(b"\xff\xd9")
        assert b"widow" not in size
        assert dict(opened(size).getexif()) == {}
        assert set(opened(size).info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}


@pytest.mark.parametrize(
    ("size", "large", "medium", "small"),
    [
        ((4000, 3000), (2400, 1800), (1000, 750), (320, 240)),
        ((3000, 6000), (1200, 2400), (500, 1000), (160, 320)),
        ((2400, 1600), (2400, 1600), (1000, 667), (320, 213)),
        ((640, 480), (640, 480), (640, 480), (320, 240)),
        ((50, 40), (50, 40), (50, 40), (50, 40)),
        ((3000, 1), (2400, 1), (1000, 1), (320, 1)),
    ],
)
def test_a_picture_has_three_sizes_and_is_never_enlarged(
    size: tuple[int, int], large: tuple[int, int], medium: tuple[int, int], small: tuple[int, int]
) -> None:
    picture = made(files.jpeg(*size))
    assert opened(picture.large).size == large == (picture.width_px, picture.height_px)
    assert opened(picture.medium).size == medium
    assert opened(picture.small).size == small
    assert {opened(one).format for one in (picture.large, picture.medium, picture.small)} == {
        "JPEG"
    }


# Where the upper left of what the camera saw lies in what it stored (EXIF 2.32, 4.6.4.A).
TURNED = {
    1: None,
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_90,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_270,
}


@pytest.mark.parametrize("orientation", TURNED)
def test_a_picture_stands_upright_however_the_phone_was_held(orientation: int) -> None:
    turn = TURNED[orientation]
    upright = files.drawn(3000, 2000)
    stored = upright.transpose(turn) if turn is not None else upright
    content = files.saved(stored, "JPEG", exif=files.exif(orientation))
    seen = opened(made(content).large)
    assert seen.size == (2400, 1600)
    corners = [(300, 200), (2100, 200), (300, 1400), (2100, 1400)]
    assert [is_red(seen, where) for where in corners] == [True, False, False, False]


@pytest.mark.parametrize(
    "content",
    [
        files.jpeg(mode="L"),
        files.jpeg(mode="CMYK"),
        files.saved(files.drawn(60, 40, "P"), "PNG"),
        files.saved(files.drawn(60, 40, "RGBA"), "PNG"),
        files.saved(files.drawn(60, 40, "LA"), "PNG"),
        files.saved(files.drawn(60, 40, "1"), "PNG"),
        files.saved(files.drawn(60, 40, "RGBA"), "WEBP"),
        files.saved(files.drawn(60, 40), "WEBP", lossless=True),
        files.jpeg(progressive=True),
        files.jpeg(exif=b"Exif\0\0broken"),
        files.jpeg(icc_profile=b"no profile"),
        files.saved(
            files.drawn(600, 400), "MPO", save_all=True, append_images=[files.drawn(30, 20)]
        ),
    ],
)
def test_pictures_of_every_kind_of_pixel_are_kept(content: bytes) -> None:
    seen = opened(made(content).large)
    assert seen.mode == "RGB"
    assert (seen.width, seen.height) in {(60, 40), (600, 400)}


def test_what_is_clear_becomes_white_and_sixteen_bits_keep_their_light() -> None:
    clear = Image.new("RGBA", (20, 20), (0, 0, 0, 0))
    assert opened(made(files.saved(clear, "PNG")).large).getpixel((5, 5)) == (255, 255, 255)
    grey = Image.new("I;16", (20, 20), 0x8000)
    assert opened(made(files.saved(grey, "PNG")).large).getpixel((5, 5)) == (128, 128, 128)


def test_a_picture_of_twelve_thousand_by_twelve_thousand_is_refused_before_it_is_decoded() -> None:
    content = files.huge_png()
    assert len(content) < 100_000
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    said = refusal(content)
    after = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    assert said.code == "too-many-pixels"
    assert "12000 by 12000 pixels" in said.sentence
    assert sys.platform != "linux" or after - before < 20_000  # kB; decoded it would take 144 MB


def test_a_plain_jpeg_may_have_more_pixels_than_what_is_decoded_whole() -> None:
    plain = files.jpeg(8000, 6000, mode="L", quality=10)
    assert opened(made(plain).large).size == (2400, 1800)
    for content in (
        files.jpeg(8000, 6000, mode="L", quality=10, progressive=True),
        files.huge_png(8000, 6000),
    ):
        assert refusal(content).code == "too-many-pixels"


def test_a_picture_far_beyond_the_limit_is_refused_too() -> None:
    assert refusal(files.huge_png(60_000, 60_000)[:5000]).code == "too-many-pixels"


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (b"", "empty"),
        (b"hello", "not-a-picture"),
        (files.a_zip(), "not-a-picture"),
        (files.saved(files.drawn(60, 40), "GIF"), "not-a-picture"),
        (files.saved(files.drawn(60, 40), "TIFF"), "not-a-picture"),
        (files.saved(files.drawn(60, 40), "BMP"), "not-a-picture"),
        (b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>", "not-a-picture"),
        (b"%PDF-1.4\n%%EOF", "not-a-picture"),
        (files.jpeg()[:40], "not-a-picture"),
        (files.jpeg()[:-600], "truncated"),
        (files.saved(files.drawn(600, 400), "PNG")[:-200], "truncated"),
        (
            files.saved(
                files.drawn(60, 40), "WEBP", save_all=True, append_images=[files.drawn(60, 40, "L")]
            ),
            "animated",
        ),
        (
            files.saved(
                files.drawn(60, 40), "PNG", save_all=True, append_images=[files.drawn(60, 40, "L")]
            ),
            "animated",
        ),
    ],
)
def test_what_is_no_whole_still_picture_gets_a_sentence(content: bytes, code: str) -> None:
    assert refusal(content).code == code


def test_a_cut_picture_is_refused_though_another_library_would_take_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", True)
    assert refusal(files.jpeg()[:-600]).code == "truncated"


@pytest.mark.parametrize("brand", [b"heic", b"mif1", b"avif"])
def test_a_picture_that_browsers_cannot_show_says_what_to_send(brand: bytes) -> None:
    said = refusal(b"\0\0\0\x18ftyp" + brand + b"\0" * 100)
    assert "JPEG" in said.sentence


def test_a_picture_has_at_most_fifteen_megabytes() -> None:
    content = files.jpeg()
    assert made(content + b"\0" * (MOST_BYTES - len(content))).width_px == 600
    assert refusal(content + b"\0" * (MOST_BYTES + 1 - len(content))).code == "too-large"


def test_a_wide_colour_profile_becomes_srgb() -> None:
    assert pictures._in_srgb(files.drawn(9, 9), files.srgb()).mode == "RGB"
    same = opened(made(files.jpeg(icc_profile=files.srgb(), quality=95)).large)
    assert is_red(same, (100, 100))


@pytest.mark.filterwarnings("ignore")  # Pillow's words on notes that it cannot read
@settings(max_examples=150, deadline=None)
@given(
    content=st.sampled_from(
        [
            files.jpeg(60, 40, exif=files.exif(6)),
            files.saved(files.drawn(60, 40), "PNG"),
            files.saved(files.drawn(60, 40), "WEBP"),
        ]
    ),
    data=st.data(),
)
def test_a_damaged_file_is_a_picture_or_gets_a_sentence(
    content: bytes, data: st.DataObject
) -> None:
    damaged = bytearray(content)
    for _ in range(data.draw(st.integers(1, 8))):
        damaged[data.draw(st.integers(0, len(damaged) - 1))] = data.draw(st.integers(0, 255))
    try:
        picture = made(bytes(damaged))
    except NotAPicture as said:
        assert said.sentence.endswith(".")  # noqa: PT017  # either answer is right
    else:
        assert max(opened(picture.large).size) <= pictures.LARGE_PX
