"""What comes out of one clip or sound: pictures and samples that are shown, and nothing else."""

import json
import subprocess

import pytest

from buildlog.media.refusal import UncleanableError
from tests.media import clips
from tests.media.clips import BLUE, CANARY, GREEN, HIGH, LOW, RED
from tests.media.playing import boxes, frames, hidden_in, like, made, pixel, samples, strength, units
from tests.outside import REEL_STRUCTURE, exiftool, require

PLACE = b"59.91"


@pytest.fixture(scope="module")
def loaded():
    return {name: make() for name, make in clips.LOADED.items()}


@pytest.fixture(scope="module")
def cleaned(loaded):
    return {name: made(data, name).data for name, data in loaded.items()}


@pytest.mark.parametrize("name", clips.LOADED)
def test_no_planted_word_is_left(name, loaded, cleaned):
    assert hidden_in(CANARY, loaded[name])
    assert not hidden_in(CANARY, cleaned[name])
    assert not hidden_in(PLACE, cleaned[name])


@pytest.mark.parametrize("name", clips.LOADED)
def test_no_encoder_signs_its_name(name, cleaned):
    for word in (b"Lavf", b"Lavc", b"libav", b"x264", b"x265", b"Handler", b"GoPro"):
        assert not hidden_in(word, cleaned[name])


@pytest.mark.parametrize("name", clips.LOADED)
def test_only_the_boxes_that_play_it(name, cleaned):
    """ISO/IEC 14496-12: no edit list, user data, meta, reference, uuid or free space is among these."""
    found = list(boxes(cleaned[name]))
    assert {path[-1] for path, _ in found} <= set(
        "ftyp moov mdat mvhd trak tkhd mdia mdhd hdlr minf vmhd smhd dinf dref stbl stsd stts stss stsc stsz "
        "stco sgpd sbgp".split()
    )
    assert [path[0] for path, _ in found if len(path) == 1] == ["ftyp", "moov", "mdat"], (
        "it plays while it loads"
    )
    for path, content in found:
        if path[-1] in ("mvhd", "tkhd", "mdhd"):
            assert content[:1] == b"\0"
            assert content[4:12] == bytes(8), "no date"
        if path[-1] == "hdlr":
            assert content[12:].strip(b"\0") == b"", "no name"
        if path[-1] == "mdhd":
            assert content[20:22] == b"\x55\xc4", "no language: und, five bits a letter"


@pytest.mark.parametrize("name", ["a.mp4", "b.mov", "c.webm"])
def test_no_unit_of_the_bitstream_but_slices(name, cleaned):
    """ISO/IEC 14496-10, table 7-1: 1 and 5 are slices; 6 would be SEI. What sets them up is in the tables."""
    assert units(cleaned[name]) <= {1, 5}
    (configuration,) = [
        content for path, content in boxes(cleaned[name]) if path[-1] == "stsd" and b"avcC" in content
    ]
    at = configuration.index(b"avcC") + 4 + 6
    assert configuration[at - 1] & 0x1F == 1
    length = int.from_bytes(configuration[at : at + 2], "big")
    assert configuration[at + 2] & 0x1F == 7, "one sequence parameter set"
    at += 2 + length
    assert configuration[at] == 1
    assert configuration[at + 3] & 0x1F == 8, "and one picture parameter set"


@pytest.mark.outside
def test_exiftool_finds_nothing_but_the_structure(tmp_path, loaded, cleaned):
    """Judge: exiftool, which reads QuickTime, Matroska, ID3 and RIFF tags, places and embedded streams."""
    before, after = tmp_path / "before", tmp_path / "after"
    before.mkdir()
    after.mkdir()
    for name in loaded:
        (before / name).write_bytes(loaded[name])
        (after / name).write_bytes(cleaned[name])
    carried = exiftool(before)
    assert "Composite:GPSPosition" in carried[str(before / "a.mp4")]
    assert "ItemList:CoverArt" in carried[str(before / "d.m4a")]
    assert "ID3v2_3:Picture" in carried[str(before / "e.mp3")]
    assert "RIFF:Originator" in carried[str(before / "f.wav")]
    found = exiftool(after)
    assert len(found) == len(loaded)
    for tags in found.values():
        assert {each.rpartition(":")[2] for each in tags} <= REEL_STRUCTURE, tags


def probed(path):
    """What ffprobe tells of a file, of its streams and its chapters."""
    command = [
        require("ffprobe"),
        "-v",
        "error",
        "-of",
        "json",
        "-show_format",
        "-show_streams",
        "-show_chapters",
    ]
    told = subprocess.run([*command, path], capture_output=True, check=True, text=True)
    assert told.stderr == ""
    return json.loads(told.stdout)


@pytest.mark.outside
def test_ffprobe_finds_one_picture_one_sound_and_no_tag(tmp_path, loaded, cleaned):
    """Judge: ffprobe."""
    path = tmp_path / "file"
    sorts = {}
    for name in loaded:
        path.write_bytes(loaded[name])
        before = probed(path)
        sorts[name] = {each["codec_type"] for each in before["streams"]}
        path.write_bytes(cleaned[name])
        found = probed(path)
        kinds = [(each["codec_type"], each["codec_name"]) for each in found["streams"]]
        pictures = [("video", "h264")] if name[-3:] in ("mp4", "mov", "ebm") else []
        assert kinds == [*pictures, ("audio", "aac")]
        assert found["chapters"] == []
        for stream in found["streams"]:
            assert stream["tags"] == {"language": "und", "vendor_id": "[0][0][0][0]"}
            assert float(stream["start_time"]) == 0
        assert set(found["format"]["tags"]) == {"major_brand", "minor_version", "compatible_brands"}
        if pictures:
            assert before["chapters"]
            assert found["streams"][0]["pix_fmt"] == "yuv420p"
            assert found["streams"][0]["sample_aspect_ratio"] == "1:1"
    assert {"data", "subtitle"} <= sorts["a.mp4"]
    assert {"attachment", "subtitle"} <= sorts["c.webm"]
    assert "video" in sorts["e.mp3"], "a cover"


@pytest.mark.parametrize("name", ["a.mp4", "c.webm", "d.m4a", "e.mp3", "f.wav"])
def test_same_file_same_bytes(name, loaded, cleaned):
    assert made(loaded[name], name).data == cleaned[name]


def test_what_was_trimmed_off_is_in_no_frame_and_no_sample():
    """ISO/IEC 14496-12, 8.6.6: an edit list shows the middle; the rest is in the file, of another colour."""
    source = clips.trimmed(
        1, 2, ((RED, 25), (GREEN, 25), (BLUE, 25)), ((HIGH, 48_000), (LOW, 48_000), (HIGH, 48_000))
    )
    assert sum(like(pixel(rows, 0.5, 0.5), RED) for _, rows in frames(source)) == 25
    reel = made(source)
    shown = frames(reel.data)
    assert 24 <= len(shown) <= 25
    assert all(like(pixel(rows, 0.5, 0.5), GREEN) for _, rows in shown)
    assert shown[0][0] == 0
    assert 950 <= reel.milliseconds <= 1050
    heard, rate = samples(reel.data)
    assert len(heard) / rate == pytest.approx(1, abs=0.06)
    assert strength(heard, LOW) > 0.2
    # In pieces, because a short burst of it would drown in the whole.
    for at in range(0, len(heard), 2400):
        assert strength(heard[at : at + 2400], HIGH) < 0.02


def test_sound_that_was_trimmed_off_is_in_no_hundredth_of_a_second():
    """Of uncoded samples, so that no coder smears a tone over what stands beside it before it is cut."""
    whole = clips.sound("mov", "pcm_s16le", ((HIGH, 48_000), (LOW, 48_000), (HIGH, 48_000)))
    movie, (own,) = clips.movie_scale(whole), clips.track_scales(whole)
    heard, rate = samples(made(clips.with_edits(whole, [(movie, own)]), "a.m4a").data)
    assert 1 <= len(heard) / rate < 1.07
    step = rate // 100
    for at in range(0, len(heard), step):
        assert strength(heard[at : at + step], HIGH) < 0.02
    assert strength(heard[rate // 20 : rate // 2], LOW) > 0.25


@pytest.mark.outside
@pytest.mark.parametrize("edits", ["middle", "several", "late"])
def test_shown_is_what_another_program_shows_by_the_edit_list(tmp_path, edits):
    """Judge: ffmpeg's own reading of edit lists; the colours that it shows, in their order."""
    colours = ((RED, 25), (GREEN, 25), (BLUE, 25), (RED, 25))
    whole = clips.clip("mp4", colours, ((LOW, 4 * 48_000),), key_every=10)
    scale, (video, audio) = clips.movie_scale(whole), clips.track_scales(whole)
    rows = {
        "middle": [(1.0, 1.5)],
        "several": [(0.4, 1.2), (0.6, 2.2)],
        "late": [(0.5, -1), (1.0, 2.0)],
    }[edits]

    def list_for(own):
        return [(round(length * scale), round(begin * own) if begin >= 0 else -1) for length, begin in rows]

    source = tmp_path / "source.mp4"
    source.write_bytes(clips.with_edits(whole, list_for(video), list_for(audio)))
    command = [
        require("ffmpeg"),
        "-v",
        "error",
        "-i",
        source,
        "-map",
        "0:v",
        "-f",
        "rawvideo",
        "-pix_fmt",
        "rgb24",
    ]
    width, height = clips.SIZE
    raw = subprocess.run([*command, "-"], capture_output=True, check=True).stdout
    theirs = [
        raw[at : at + 3]
        for at in range(height * width * 3 // 2 + width // 2 * 3, len(raw), width * height * 3)
    ]
    ours = [pixel(rows, 0.5, 0.5) for _, rows in frames(made(source.read_bytes()).data)]

    def runs(found):
        names = [
            next((n for n, c in enumerate((RED, GREEN, BLUE)) if like(each, c, 60)), None) for each in found
        ]
        return [name for at, name in enumerate(names) if at == 0 or name != names[at - 1]]

    assert None not in runs(ours)
    assert runs(ours) == runs(theirs)


@pytest.mark.parametrize(
    ("rows", "message"),
    [
        ([(1000, 0, 0x20000)], "faster, slower"),
        ([(500, 12000), (500, 0)], "another order"),
        ([(500, 0), (500, 0)], "another order"),
        ([(500, -1)], "shows nothing of it"),
        ([], "shows nothing of it"),
        ([(1, 1_000_000)], "shows nothing of it"),
    ],
)
def test_edit_lists_that_cannot_be_kept_are_refused(rows, message):
    source = clips.with_edits(clips.clip("mp4"), rows, rows)
    with pytest.raises(UncleanableError, match=message):
        made(source)


# ISO/IEC 14496-12, 8.3.2: a, b, c, d of the matrix, and the quadrants as they are then seen, from top left.
TURNS = {
    "upright": ((1, 0, 0, 1), "RGBY"),
    "right": ((0, 1, -1, 0), "BRYG"),
    "over": ((-1, 0, 0, -1), "YBGR"),
    "left": ((0, -1, 1, 0), "GYRB"),
    "mirrored": ((-1, 0, 0, 1), "GRYB"),
    "upside down": ((1, 0, 0, -1), "BYRG"),
    "transposed": ((0, 1, 1, 0), "RBGY"),
}
QUADRANTS = {"R": (220, 20, 20), "G": (20, 180, 20), "B": (20, 20, 220), "Y": (230, 220, 30)}


@pytest.mark.parametrize("turn", TURNS)
def test_right_way_up(turn):
    (a, b, c, d), seen = TURNS[turn]
    one = 1 << 16
    source = clips.clip(
        "mp4", quadrants=True, rotation=(a * one, b * one, 0, c * one, d * one, 0, 0, 0, 1 << 30)
    )
    reel = made(source)
    assert (reel.width, reel.height) == (clips.SIZE if a else clips.SIZE[::-1])
    rows = frames(reel.data)[0][1]
    places = ((0.25, 0.25), (0.75, 0.25), (0.25, 0.75), (0.75, 0.75))
    for letter, (across, down) in zip(seen, places, strict=True):
        assert like(pixel(rows, across, down), QUADRANTS[letter]), (letter, pixel(rows, across, down))
    (header,) = [
        content for path, content in boxes(reel.data) if path[-1] == "tkhd" and content[-8:-4] != bytes(4)
    ]
    assert header[40:76] == bytes.fromhex("00010000" + "00" * 12 + "00010000" + "00" * 12 + "40000000")
