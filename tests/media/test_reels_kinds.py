"""Clips as cameras, phones, browsers and editors write them: each comes out as it looks and sounds."""

import io
import random
import struct
from collections.abc import Iterator
from fractions import Fraction
from typing import Any

import av
import pytest

from buildlog.media import crew
from buildlog.media import frames as lens
from buildlog.media.refusal import UncleanableError
from tests.media import clips
from tests.media.clips import BLUE, GREEN, HIGH, LOW, RED, edit_list, edited
from tests.media.limited import remade
from tests.media.playing import frames, like, made, pixel, samples, strength
from tests.outside import BROWSERS, require, require_package

PIECES = {"movflags": "+frag_keyframe+empty_moov+default_base_moof"}
KINDS = {
    "H.264 in MP4": clips.clip,
    "HEVC in MOV": lambda: clips.clip("mov", codecs=("libx265", "aac")),
    "HEVC of ten bits": lambda: clips.clip("mov", codecs=("libx265", "alac"), pix_fmt="yuv420p10le"),
    "ProRes and PCM": lambda: clips.clip("mov", codecs=("prores_ks", "pcm_s16le"), pix_fmt="yuv422p10le"),
    "Motion JPEG": lambda: clips.clip("mov", codecs=("mjpeg", "pcm_s16le"), pix_fmt="yuvj422p"),
    "MPEG-4": lambda: clips.clip(codecs=("mpeg4", "libmp3lame")),
    "VP8 and Vorbis": lambda: clips.clip("webm", codecs=("libvpx", "libopus")),
    "VP9 and Opus": lambda: clips.clip("webm"),
    "AV1": lambda: clips.clip(colours=((GREEN, 10),), codecs=("libsvtav1", "aac"), size=(128, 128)),
    "in fragments": lambda: clips.clip(
        options={"movflags": "+frag_keyframe+empty_moov+default_base_moof"}, key_every=5
    ),
}


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_comes_out_as_it_looks_and_sounds(kind):
    data = KINDS[kind]()
    reel = made(data, "a.webm" if data[:1] == b"\x1a" else "a.mp4")
    shown = frames(reel.data)
    assert len(shown) >= 10
    assert all(like(pixel(rows, 0.5, 0.5), GREEN, 12) for _, rows in shown)
    heard, rate = samples(reel.data)
    assert len(heard) / rate == pytest.approx(1, abs=0.1)
    assert strength(heard[9600:19200], LOW, rate) > 0.25
    assert strength(heard[9600:19200], HIGH, rate) < 0.01


def turning(kind):
    """Green with a low tone for a second, then blue with a high one."""
    return clips.clip(kind, ((GREEN, 25), (BLUE, 25)), ((LOW, 48_000), (HIGH, 48_000)))


@pytest.mark.parametrize("kind", ["mp4", "webm"])
def test_pictures_and_sound_stay_in_step(kind):
    """Sound 45 ms early or 125 ms late is noticed (ITU-R BT.1359-1, from memory); 25 are allowed here."""
    reel = made(turning(kind), f"a.{kind}")
    turned = next(time for time, rows in frames(reel.data) if like(pixel(rows, 0.5, 0.5), BLUE))
    heard, rate = samples(reel.data)
    step = rate // 100
    louder = [
        strength(heard[at : at + step], HIGH, rate) > strength(heard[at : at + step], LOW, rate)
        for at in range(0, len(heard), step)
    ]
    assert turned == pytest.approx(1, abs=0.021)
    # The first hundredth is silence: room for the encoder's lead-in.
    assert louder.index(True, 5) / 100 == pytest.approx(turned, abs=0.025)


def test_sound_that_begins_late_is_preceded_by_silence():
    whole = clips.clip()
    movie, (_, own) = clips.movie_scale(whole), clips.track_scales(whole)
    lead = clips.own_leads(whole)
    late = clips.with_edits(whole, [(movie, lead[0])], [(movie // 2, -1), (movie // 2, lead[1])])
    heard, rate = samples(made(late).data)
    assert own == rate
    assert len(heard) / rate == pytest.approx(1, abs=0.05)
    assert max(map(abs, heard[: rate * 9 // 20])) < 0.01
    assert strength(heard[rate * 11 // 20 : rate * 19 // 20], LOW, rate) > 0.25


def test_what_is_trimmed_off_a_file_in_fragments_is_in_no_frame():
    """An edit list in a fragmented file (ISO/IEC 14496-12, 8.6.6 and 8.8), which many readers pass over."""
    whole = clips.clip(colours=((RED, 25), (GREEN, 50)), tones=(), options=PIECES, key_every=5)
    movie, (own,) = clips.movie_scale(whole), clips.track_scales(whole)

    def change(path, content):
        return content + edit_list((movie, own * 11 // 10)) if path == (b"moov", b"trak") else None

    def without_own(path, content):
        # What the encoder's own list skipped, its lead, is skipped by ours.
        if path == (b"moov", b"trak") and b"edts" in content:
            at = content.index(b"edts") - 4
            return content[:at] + content[at + struct.unpack_from(">I", content, at)[0] :]
        return None

    reel = made(edited(edited(whole, without_own), change))
    shown = frames(reel.data)
    assert 20 <= len(shown) <= 26
    assert all(like(pixel(rows, 0.5, 0.5), GREEN) for _, rows in shown)


def test_high_dynamic_range_becomes_ordinary():
    """ITU-R BT.2100, HLG: a signal of half is a middling grey, and is to come out as one."""
    file = io.BytesIO()
    with av.open(file, "w", format="mov") as out:
        video = out.add_stream("libx265", rate=25)
        video.width, video.height, video.pix_fmt = 128, 96, "yuv420p10le"
        context = video.codec_context
        context.color_primaries, context.color_trc, context.colorspace, context.color_range = 9, 18, 9, 1
        for number in range(5):
            frame = av.VideoFrame(128, 96, "yuv420p10le")
            for plane, value in zip(frame.planes, (502, 512, 512), strict=True):
                plane.update(struct.pack("<H", value) * (plane.buffer_size // 2))
            frame.pts, frame.time_base = number, Fraction(1, 25)
            out.mux(video.encode(frame))
        out.mux(video.encode(None))
    red, green, blue = pixel(frames(made(file.getvalue()).data)[2][1], 0.5, 0.5)
    assert max(red, green, blue) - min(red, green, blue) < 6
    assert 110 < green < 190


def test_many_channels_and_odd_rates_are_brought_down():
    file = io.BytesIO()
    with av.open(file, "w", format="wav") as out:
        audio = out.add_stream("pcm_s16le", rate=96_000, layout="5.1")
        sound = av.AudioFrame("s16", "5.1", 96_000)
        left = clips.tone(LOW, 96_000)
        rows = b"".join(left[at : at + 2] * 6 for at in range(0, len(left), 2))
        sound.sample_rate, sound.pts, sound.time_base = 96_000, 0, Fraction(1, 96_000)
        sound.planes[0].update(rows)
        out.mux(audio.encode(sound))
        out.mux(audio.encode(None))
    heard, rate = samples(made(file.getvalue(), "a.wav").data)
    assert rate == 48_000
    assert len(heard) / rate == pytest.approx(1, abs=0.06)
    # Played at 96,000 a second, a tone made for 48,000 is an octave higher.
    assert strength(heard[9600:19200], 2 * LOW, rate) > 0.1


@pytest.mark.parametrize("layout", ["mono", "stereo"])
@pytest.mark.parametrize(
    ("rate", "kept"), [(8000, 8000), (11_025, 11_025), (44_056, 48_000), (192_000, 48_000)]
)
def test_rates_that_the_standard_knows_are_kept_and_others_brought_to_one(rate, kept, layout):
    """ISO/IEC 14496-3, table 1.18: the rates of AAC (from memory)."""
    reel = made(clips.wave(((LOW, 48_000),), layout=layout, rate=rate), "a.wav")
    heard, found = samples(reel.data)
    assert found == kept
    assert reel.milliseconds == pytest.approx(48_000_000 / rate, abs=1)
    assert len(heard) / found == pytest.approx(48_000 / rate, abs=0.16)
    # Made for 48,000 a second, the tone is as much lower or higher as it is played slower or faster.
    middle = heard[len(heard) // 3 : len(heard) // 2]
    assert strength(middle, LOW * rate / 48_000, found) > 0.2


@pytest.mark.parametrize("matrix", [(1, 0, 0, 1), (0, -1, 1, 0), (-1, 0, 0, -1), (0, 1, -1, 0)])
def test_a_frame_with_data_that_has_no_name_is_turned_all_the_same(matrix):
    """Another FFmpeg may attach what this PyAV has no name for; the angle can still be asked."""
    a, b, c, d = (each << 16 for each in matrix)
    source = clips.clip(colours=((GREEN, 2),), tones=(), rotation=(a, b, 0, c, d, 0, 0, 0, 1 << 30))
    with av.open(io.BytesIO(source)) as opened:
        angle = next(opened.decode(video=0)).rotation

    class Frame:
        rotation = angle

        @property
        def side_data(self):
            raise ValueError("999 is not a valid Type")

    assert lens._signs(Frame()) == matrix


@pytest.mark.parametrize("size", [(2, 2), (16, 2), (2, 16), (18, 34)])
def test_the_smallest_clips_are_made_too(size):
    reel = made(clips.clip(colours=((GREEN, 3),), tones=(), size=size))
    assert (reel.width, reel.height, reel.milliseconds) == (*size, 120)


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    path = require(*BROWSERS)
    require_package("playwright")
    from playwright.sync_api import sync_playwright  # noqa: PLC0415 - only where there is a browser

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=["--no-sandbox", "--disable-gpu"])
        yield browser
        browser.close()


PLAYED = """
async () => {
  const told = [];
  for (const each of document.querySelectorAll("video, audio")) {
    await new Promise((done, failed) => {
      each.onended = done; each.onerror = () => failed(each.error.message);
      each.muted = true; each.play().catch(failed);
    });
    told.push([each.duration, each.videoWidth || 0, each.videoHeight || 0, each.currentTime]);
  }
  return told;
}
"""


@pytest.mark.outside
def test_a_browser_plays_them_to_the_end(tmp_path, browser):
    """Judge: Chromium, from a file, as a reader would."""
    reels = [made(turning("mp4")), made(clips.wave(), "a.wav")]
    for name, reel in zip(("a.mp4", "b.m4a"), reels, strict=True):
        (tmp_path / name).write_bytes(reel.data)
    (tmp_path / "page.html").write_text("<video src=a.mp4></video><audio src=b.m4a></audio>")
    page = browser.new_page()
    page.goto((tmp_path / "page.html").as_uri())
    clip, sound = page.evaluate(PLAYED)
    page.close()
    assert clip[1:3] == list(clips.SIZE)
    for told, reel in zip((clip, sound), reels, strict=True):
        assert told[0] == pytest.approx(reel.milliseconds / 1000, abs=0.05)
        assert told[3] == pytest.approx(told[0], abs=0.1)


def spoilt(seed):
    """A clip or sound with some of its bytes changed, most of them in its tables."""
    chance = random.Random(seed)
    name = chance.choice(sorted(clips.LOADED))
    data = bytearray(_whole(name))
    tables = data.find(b"moov") if b"moov" in data else 0
    for _ in range(chance.randint(1, 12)):
        at = chance.choice((chance.randrange(len(data)), min(len(data) - 1, tables + chance.randrange(3000))))
        data[at : at + chance.choice((1, 1, 4))] = chance.randbytes(chance.choice((1, 1, 4)))
    return name, bytes(data)


WHOLE: dict[str, bytes] = {}


def _whole(name):
    if name not in WHOLE:
        WHOLE[name] = clips.LOADED[name]()
    return WHOLE[name]


def test_whatever_the_bytes_there_is_a_reel_or_a_word_on_what_to_do():
    """Two hundred spoilt files, each in another process: a decoder that goes down would be told as None."""
    told = [told for _, told in crew.apart(remade, [spoilt(seed) for seed in range(200)])]
    assert len(told) == 200
    assert all(each is None or each == "made" or "; " in each for each in told)
    assert told.count("made") > 20
    assert sum("; " in (each or "") for each in told) > 20


def test_no_file_at_all_is_a_clip():
    for data in (b"", b"\0" * 100, b"\xff" * 100, b"RIFF\0\0\0\0WAVE", b"\0\0\0\x08moov"):
        with pytest.raises(UncleanableError, match="; "):
            made(data)
