"""What is not made anew: clips and sounds that are damaged, too much, disguised, or that hide something."""

import io
import itertools
import struct

import av
import pytest

from buildlog.media import boxes, footage, frames, reels, timeline
from buildlog.media.refusal import UncleanableError
from buildlog.media.sorts import Content
from tests.media import clips, pictures
from tests.media.clips import BLUE, CANARY, GREEN, LOW, RED, box, edited, full, inside
from tests.media.playing import frames as pictures_of
from tests.media.playing import like, made, pixel, samples, strength


def refused(data, message, name="a.mp4"):
    with pytest.raises(UncleanableError, match=message) as raised:
        made(data, name)
    assert "; " in str(raised.value), "it says what to do"


def assert_harmless(data, name="a.mp4"):
    """It is made anew, or refused with a word on what to do; nothing else."""
    try:
        told = f"{len(made(data, name).data)}; "
    except UncleanableError as error:
        told = str(error)
    assert "; " in told


@pytest.fixture(scope="module")
def plain():
    return clips.clip()


@pytest.fixture
def secret(tmp_path):
    """A clip that a disguised file points at."""
    path = tmp_path / "secret.mp4"
    path.write_bytes(clips.clip(colours=((RED, 10),)))
    return path


def playlists(secret):
    name = str(secret)
    return {
        "hls": f"#EXTM3U\n#EXT-X-TARGETDURATION:1\n#EXTINF:1,\n{name}\n#EXT-X-ENDLIST\n",
        "concat": f"ffconcat version 1.0\nfile {name}\n",
        "sdp": f"v=0\no=- 0 0 IN IP4 127.0.0.1\ns={name}\nc=IN IP4 127.0.0.1\nm=video 9 RTP/AVP 96\n",
        "dash": f"<?xml version='1.0'?><MPD><BaseURL>{name}</BaseURL></MPD>",
    }


@pytest.mark.parametrize("kind", ["hls", "concat", "sdp", "dash"])
@pytest.mark.parametrize("content", [Content.ISO_MEDIA, Content.WEBM, Content.MP3, Content.WAV])
def test_a_playlist_opens_nothing_whatever_it_is_taken_for(kind, content, secret, watched_opens):
    playlist = playlists(secret)[kind].encode()
    fronts = (b"", clips.clip()[:32], b"\x1a\x45\xdf\xa3", b"ID3\3\0\0\0\0\0\0", clips.wave()[:44])
    for data in (front + playlist for front in fronts):
        for sort in ("clip", "sound"):
            with pytest.raises(UncleanableError):
                reels.remake(io.BytesIO(data), content, sort)
    assert watched_opens() == []


@pytest.fixture
def watched_opens(monkeypatch):
    """What was asked to be opened beside the file itself."""
    asked = []

    def watch(url, *_more):
        asked.append(url)
        raise UncleanableError("no; more")

    monkeypatch.setattr(footage, "open_nothing", watch)
    return lambda: asked


@pytest.mark.parametrize("demuxer", ["hls", "concat"])
def test_were_it_read_as_a_playlist_it_would_still_open_nothing(demuxer, secret, monkeypatch, watched_opens):
    """The second wall: the demuxer is the wrong one, the file is asked for, and it is not given."""
    monkeypatch.setitem(footage._DEMUXERS, Content.WAV, demuxer)
    data = playlists(secret)[demuxer].encode()
    with av.open(str(secret)) as there:
        assert there.streams.video, "the file that is pointed at is there to be opened"
    with pytest.raises(UncleanableError):
        reels.remake(io.BytesIO(data), Content.WAV, "sound")
    # The other demuxer does not even ask.
    assert watched_opens() == ([str(secret)] if demuxer == "hls" else [])


def test_a_track_whose_samples_lie_in_another_file_is_refused(plain, secret):
    """ISO/IEC 14496-12, 8.7.2: a data reference that is not to the file itself; and QuickTime's alias."""
    link = full(b"url ", str(secret).encode() + b"\0")
    alias = full(b"alis", bytes(10) + struct.pack(">H", 2) + str(secret).encode().ljust(150, b"\0"))
    for reference in (link, alias):
        table = full(b"dref", struct.pack(">I", 1) + reference)

        def change(path, content, table=table):
            return table if path[-1] == b"dinf" else None

        data = edited(plain, change)
        try:
            reel = made(data)
        except UncleanableError:
            continue
        # Where the samples are looked for in the file itself, what it shows is its own.
        assert all(like(pixel(rows, 0.5, 0.5), GREEN) for _, rows in pictures_of(reel.data))


@pytest.mark.parametrize("name", ["a.mp4", "c.webm", "f.wav"])
@pytest.mark.parametrize("share", [0.02, 0.2, 0.5])
def test_cut_short_is_refused(name, share):
    data = {"a.mp4": fast, "c.webm": long_webm, "f.wav": lambda: clips.wave(((LOW, 240_000),))}[name]()
    refused(data[: int(len(data) * share)], "cut short", name)


def fast():
    # Made anew, its tables stand in front.
    return made(clips.clip(colours=((GREEN, 100), (BLUE, 100)), tones=((LOW, 384_000),))).data


def long_webm():
    return clips.clip("webm", colours=((GREEN, 60), (BLUE, 60)), tones=((LOW, 230_400),))


def test_rubbish_in_the_middle_is_refused(plain):
    at = plain.index(b"mdat") + 100
    data = plain[:at] + bytes(range(256)) * 4 + plain[at + 1024 :]
    assert_harmless(data)


@pytest.mark.parametrize(
    "kind", [b"moov", b"trak", b"mvhd", b"tkhd", b"mdhd", b"stbl", b"stsd", b"elst", b"hdlr"]
)
@pytest.mark.parametrize("size", [0, 4, 7, 8, 9, 12, 0x7FFFFFFF])
def test_tables_that_lie_about_their_size_are_refused_or_harmless(plain, kind, size):
    at = plain.index(kind) - 4
    data = plain[:at] + struct.pack(">I", size) + plain[at + 4 :]
    assert_harmless(data)


def test_two_tables_are_refused(plain):
    at = plain.index(b"moov") - 4
    size = struct.unpack_from(">I", plain, at)[0]
    refused(plain + plain[at : at + size], "damaged")


def test_no_table_is_refused(plain):
    refused(plain.replace(b"moov", b"free"), "damaged")


def test_a_size_with_which_pixels_explode_is_refused_before_they_are_decoded():
    """ITU-T T.81: the frame header of each Motion JPEG picture says 65,000 × 65,000."""
    data = clips.clip("mov", colours=((GREEN, 3),), tones=(), codecs=("mjpeg", "aac"), pix_fmt="yuvj420p")
    at = 0
    while (at := data.find(b"\xff\xc0", at + 1)) >= 0:
        data = data[: at + 5] + struct.pack(">HH", 65_000, 65_000) + data[at + 9 :]
    refused(data, "damaged|pixels")


def test_one_more_pixel_than_allowed(monkeypatch, plain):
    monkeypatch.setattr(frames, "MOST_PIXELS", clips.SIZE[0] * clips.SIZE[1])
    assert made(plain).data
    monkeypatch.setattr(frames, "MOST_PIXELS", clips.SIZE[0] * clips.SIZE[1] - 1)
    refused(plain, "128 × 96 pixels.*export it smaller")


def test_longer_than_allowed_is_refused_before_it_is_decoded(plain, monkeypatch):
    """A clip of 26 frames that says to show them an hour each (ISO/IEC 14496-12, 8.6.1.2)."""

    def change(path, content):
        if path[-1] == b"stts":
            return content[:8] + b"".join(
                content[at : at + 4] + struct.pack(">I", 40_000_000) for at in range(8, len(content), 8)
            )
        return None

    monkeypatch.setattr(reels, "Splice", None)
    refused(edited(plain, change), "longer than 30 minutes.*cut it shorter")


@pytest.mark.parametrize(
    ("limit", "most", "message"),
    [
        ("MOST_PACKETS", 20, "far more pictures than a clip does"),
        ("MOST_DECODED", 128 * 96 * 20, "largest picture"),
        ("MOST_STREAMS", 1, "more than 1 streams"),
    ],
)
def test_too_much_is_refused_before_it_is_decoded(plain, monkeypatch, limit, most, message):
    monkeypatch.setattr(footage, limit, most)
    monkeypatch.setattr(reels, "Splice", None)
    refused(plain, message)


def test_a_clip_without_pictures_and_a_sound_without_sound(plain):
    refused(clips.sound("mp4", "aac"), "no moving picture")
    silent = clips.clip(tones=())
    refused(silent, "holds no sound", "a.m4a")
    assert made(silent).width == 128


def two_pictures(second_enabled=True):
    def extra(out):
        second = out.add_stream("libx264", rate=25)
        second.width, second.height, second.pix_fmt = 64, 64, "yuv420p"
        frame = clips.picture(RED, (64, 64))
        frame.pts, frame.time_base = 0, clips.Fraction(1, 25)
        return [packet for each in (frame, None) for packet in second.encode(each)]

    data = clips.clip(extra=extra)

    def disable(path, content):
        if path[-1] == b"tkhd" and struct.unpack_from(">I", content, 12)[0] == 3:
            return content[:3] + (b"\3" if second_enabled else b"\2") + content[4:]
        return None

    return edited(data, disable)


def test_more_than_one_track_of_pictures_is_refused_and_one_that_is_off_left_out():
    refused(two_pictures(), "more than one track of pictures")
    reel = made(two_pictures(second_enabled=False))
    assert (reel.width, reel.height) == clips.SIZE


def test_a_sound_that_is_switched_off_is_not_heard(plain):
    def disable(path, content):
        if path[-1] == b"tkhd" and struct.unpack_from(">I", content, 12)[0] == 2:
            return content[:3] + b"\0" + content[4:]
        return None

    with av.open(io.BytesIO(made(edited(plain, disable)).data)) as source:
        assert not source.streams.audio


@pytest.mark.parametrize("kind", [b"clip", b"matt"])
def test_masks_are_refused(plain, kind):
    """QuickTime File Format: clipping and matte atoms."""
    refused(edited(plain, inside(b"trak", box(kind, bytes(16)), nth=0)), "behind a mask")
    refused(edited(plain, inside(b"moov", box(b"clip", bytes(16)))), "behind a mask")


def in_entry(data, more):
    """A clip with another box in the sample entry of its pictures."""

    def change(path, content):
        if path[-1] == b"stsd" and b"avcC" in content:
            size = struct.unpack_from(">I", content, 8)[0]
            return content[:8] + struct.pack(">I", size + len(more)) + content[12:] + more
        return None

    return edited(data, change)


def with_aperture(data, wide, high, across=(0, 1), down=(0, 1)):
    """ISO/IEC 14496-12, 12.1.4: a clean aperture."""
    return in_entry(data, box(b"clap", struct.pack(">IIIIiIiI", wide, 1, high, 1, *across, *down)))


def test_what_a_clean_aperture_cuts_off_is_cut_off():
    source = clips.clip(quadrants=True)
    # The quarter at the top left, in 128 × 96: its middle lies 32 to the left and 24 above the picture's.
    reel = made(with_aperture(source, 64, 48, (-32, 1), (-24, 1)))
    assert (reel.width, reel.height) == (64, 48)
    rows = pictures_of(reel.data)[0][1]
    for across in (0.1, 0.5, 0.9):
        for down in (0.1, 0.5, 0.9):
            assert like(pixel(rows, across, down), (220, 20, 20))
    assert made(with_aperture(source, 128, 96)).width == 128


def test_a_clean_aperture_that_is_odd_is_drawn_in_and_one_beyond_the_picture_refused(plain):
    assert (made(with_aperture(plain, 61, 41)).width, made(with_aperture(plain, 61, 41)).height) == (60, 40)
    refused(with_aperture(plain, 200, 96), "behind a mask")
    refused(with_aperture(plain, 64, 48, (100, 1)), "behind a mask")
    refused(with_aperture(plain, 64, 48, (0, 0)), "damaged")


def element(kind, content):
    """An element of EBML (RFC 8794) with a length of eight bytes."""
    return bytes.fromhex(kind) + struct.pack(">Q", len(content) | 1 << 56) + content


def with_track(data, more, within_video=False):
    """A WebM of which the first track has another element (RFC 9559)."""
    # The first is where the table of contents says where it is.
    tracks = data.index(bytes.fromhex("1654ae6b"), data.index(bytes.fromhex("1654ae6b")) + 4)
    head = tracks + 4
    length = 9 - data[head].bit_length()
    size = int.from_bytes(data[head : head + length], "big") - (1 << 7 * length)
    content = data[head + length : head + length + size]
    numbered = b"\xd7\x81\x09\x73\xc5\x81\x09\x83\x81\x11"
    entry = element("ae", numbered + (element("e0", more) if within_video else more))
    return data[:tracks] + element("1654ae6b", content + entry) + data[head + length + size :]


def test_a_webm_that_is_cropped_or_switched_off_is_refused():
    data = clips.clip("webm")
    refused(with_track(data, element("54aa", b"\x10"), within_video=True), "hides the edges", "a.webm")
    refused(with_track(data, element("b9", b"\0")), "switched off", "a.webm")


def test_a_webm_that_leaves_out_pieces_of_itself_is_refused():
    """RFC 9559, 5.1.7.1.1.5 and 20.1: ordered chapters play only what they list."""
    data = clips.loaded_webm()
    chapters = data.index(bytes.fromhex("1043a770"), data.index(bytes.fromhex("1654ae6b"), 200))
    ordered = element("1043a770", element("45b9", element("45dd", b"\1")))
    refused(data + ordered, "leaves out pieces of itself", "a.webm")
    assert made(data + element("1043a770", element("45b9", element("45dd", b"\0"))), "a.webm").data
    assert made(data, "a.webm").data, "chapters that only name places are no reason"
    assert chapters > 0


@pytest.mark.parametrize("spoilt", [b"\x1a\x45\xdf\xa3", b"\x1a\x45\xdf\xa3\x80\x1f\x43\xb6\x75\xff"])
def test_a_webm_without_tracks_is_refused(spoilt):
    refused(spoilt + bytes(50), "damaged", "a.webm")


def test_transparency_is_refused():
    refused(clips.clip("mov", codecs=("prores_ks", "aac"), pix_fmt="yuva444p10le"), "transparent in places")
    data = clips.clip("webm", colours=((GREEN, 3),), pix_fmt="yuva420p")
    refused(data, "transparent in places", "a.webm")


def test_a_codec_that_no_camera_writes_is_refused():
    refused(clips.clip("mov", codecs=("qtrle", "aac"), pix_fmt="rgb24"), "coded or locked")


def test_what_is_locked_is_refused(plain):
    refused(plain.replace(b"avc1\0", b"encv\0"), "coded or locked|damaged")


def test_an_mp3_with_rubbish_between_its_frames_is_heard():
    data = clips.sound("mp3", "libmp3lame", tones=((LOW, 96_000),))
    at = data.index(b"\xff\xfb", len(data) // 2)
    reel = made(data[:at] + CANARY * 200 + data[at:], "a.mp3")
    heard, rate = samples(reel.data)
    assert len(heard) / rate > 1.8
    assert strength(heard[9600:19200], LOW) > 0.2
    assert CANARY not in reel.data


def test_sound_or_pictures_that_begin_after_days_are_refused():
    """An empty edit of 40 days (ISO/IEC 14496-12, 8.6.6): silence, or a still, as long as that."""
    whole = clips.clip()
    days = 40 * 86_400 * clips.movie_scale(whole)
    picture, sound = clips.own_leads(whole)
    now, late = (clips.movie_scale(whole),), (days, -1)
    first = clips.with_edits(whole, [(*now, picture)], [late, (*now, sound)])
    refused(first, "longer than 30 minutes")
    refused(
        clips.with_edits(whole, [late, (*now, picture)], [(*now, sound)]),
        "longer than 30 minutes|shows nothing",
    )


def test_more_edits_than_allowed(plain, monkeypatch):
    monkeypatch.setattr(timeline, "MOST_EDITS", 0)
    refused(plain, "damaged")


def test_pictures_may_come_closer_than_they_are_published():
    """240 a second; ISO/IEC 14496-12 allows it, and phones do it."""
    reel = made(clips.clip(colours=((GREEN, 120),), tones=(), rate=240))
    times = [time for time, _ in pictures_of(reel.data)]
    assert 0.4 < times[-1] < 0.5
    assert all(later - earlier > 0.0119 for earlier, later in itertools.pairwise(times))


def test_large_is_made_smaller_and_stays_in_shape():
    reel = made(clips.clip(colours=((GREEN, 2),), tones=(), size=(1920, 1080)))
    assert (reel.width, reel.height) == (1280, 720)
    tall = made(clips.clip(colours=((GREEN, 2),), tones=(), size=(540, 2000)))
    assert (tall.width, tall.height) == (346, 1280)


def test_pictures_that_are_not_square_become_so():
    """ISO/IEC 14496-12, 12.1.4.2: a pasp box; here each stored pixel is twice as wide as it is high."""
    data = in_entry(clips.clip(colours=((GREEN, 2),), tones=()), box(b"pasp", struct.pack(">II", 2, 1)))
    reel = made(data)
    assert (reel.width, reel.height) == (256, 96)


def test_a_poster_shows_the_clip_a_tenth_of_the_way_on():
    reel = made(clips.clip(colours=((RED, 3), (GREEN, 6), (BLUE, 41)), tones=((LOW, 96_000),)))
    sizes = reels.poster(reel)
    assert [(each.width, each.height) for each in sizes] == [clips.SIZE]
    with pictures.Image.open(io.BytesIO(sizes[0].data)) as image:
        assert like(image.getpixel((60, 50)), GREEN, 12), "and in its colours"
    assert reels.poster(made(clips.wave(), "a.wav")) == ()


def test_a_clip_that_changes_its_size_on_the_way_is_refused():
    """Two runs of pictures of different sizes in one Motion JPEG track, where each picture says its own."""
    file = io.BytesIO()
    with av.open(file, "w", format="mov") as out:
        stream = out.add_stream("mjpeg", rate=25)
        stream.width, stream.height, stream.pix_fmt = 128, 96, "yuvj420p"
        other = av.CodecContext.create("mjpeg", "w")
        other.width, other.height, other.pix_fmt, other.time_base = 64, 48, "yuvj420p", clips.Fraction(1, 25)
        for number, size in enumerate([(128, 96)] * 3 + [(64, 48)] * 3):
            frame = clips.picture(GREEN, size).reformat(format="yuvj420p")
            frame.pts, frame.time_base = number, clips.Fraction(1, 25)
            for packet in (stream if size[0] == 128 else other).encode(frame):
                packet.stream = stream
                out.mux(packet)
    refused(file.getvalue(), "changes its size or colours on the way")


def test_what_the_encoder_might_write_beside_what_plays_stops_it(plain):
    """Another release of its library may write more; it is to be looked at before it is published."""
    reel = made(plain).data
    assert boxes.only_what_plays(reel) == reel
    assert boxes.only_what_plays(reel + box(b"free", b"x")) == reel
    for other in (
        edited(reel, inside(b"moov", box(b"meta", b"CANARY"))),
        edited(reel, inside(b"stbl", box(b"senc", b"CANARY"), nth=0)),
        reel + box(b"uuid", CANARY),
    ):
        with pytest.raises(UncleanableError, match=r"boxes that are not known .*install the release of PyAV"):
            boxes.only_what_plays(other)
    for broken in (reel + reel, reel[:40], b""):
        with pytest.raises(UncleanableError, match="damaged"):
            boxes.only_what_plays(broken)
