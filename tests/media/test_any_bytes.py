"""Whatever the bytes, a photo gives renditions or a problem that a builder can act on; never a traceback."""

import tempfile
from pathlib import Path
from unittest import mock

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from buildlog.media import crew
from tests.media import pictures
from tests.media.conftest import MediaLog
from tests.media.readings import assert_bare

WHOLE = {kind: pictures.loaded(kind) for kind in pictures.FORMATS}
MAGIC = [data[:24] for data in WHOLE.values()]


@st.composite
def damaged(draw):
    """A real picture with bytes overwritten, cut out, doubled or put in."""
    data = bytearray(WHOLE[draw(st.sampled_from(sorted(WHOLE)))])
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(0, len(data)) | st.integers(0, min(len(data), 400)))
        upto = min(len(data), at + draw(st.integers(0, 64)))
        data[at:upto] = draw(st.binary(max_size=64) | st.just(bytes(data[at:upto]) * 2))
    return bytes(data)


@pytest.mark.filterwarnings("ignore::UserWarning")
@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.binary(max_size=400)
    | st.builds(bytes.__add__, st.sampled_from(MAGIC), st.binary(max_size=400))
    | damaged(),
    st.sampled_from(["jpg", "png", "webp", "tif", "heic", "avif", "gif", "svg", "HEIC", "jpeg"]),
)
def test_renditions_or_a_problem(data, ending):
    with tempfile.TemporaryDirectory() as folder:
        log = MediaLog(Path(folder))
        # In this process: what a decoder raises is to be seen here, and three hundred others would be slow.
        with mock.patch.object(crew, "apart", lambda work, things: ((each, work(each)) for each in things)):
            medium = log.one(f"a.{ending}", data)
        assert medium.sort == "photo"
        assert bool(medium.renditions) != bool(medium.problem)
        assert medium.problem == "" or ("; " in medium.problem and folder not in medium.problem)
        for each in medium.renditions:
            still = (log.shelf / "stills" / each.name).read_bytes()
            assert_bare(still)
            assert pictures.CANARY not in still


@pytest.mark.parametrize("kind", pictures.FORMATS)
def test_the_corpus_itself_is_read(kind, media_log):
    assert media_log.one(f"a.{kind}", WHOLE[kind]).renditions
