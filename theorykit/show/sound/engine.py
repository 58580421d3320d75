"""The engine of sound: the synthesizer, or what takes its place where Python runs in a browser.

All other modules ask for sound here. Both answer to the same names in the same way.
"""

from __future__ import annotations

import sys

if sys.platform == "emscripten":
    from theorykit.show.sound.browser_sound import (
        QUICK as QUICK,
        Instrument as Instrument,
        Samples as Samples,
        flac_bytes as flac_bytes,
        instrument as instrument,
        line_gains as line_gains,
        moments_told as moments_told,
        mp3_bytes as mp3_bytes,
        note_files as note_files,
        ogg_bytes as ogg_bytes,
        render as render,
        room_shares as room_shares,
        sounds_file as sounds_file,
        spare as spare,
        tone_names as tone_names,
        wav_bytes as wav_bytes,
    )
else:
    from theorykit.show.sound.note_files import note_files as note_files
    from theorykit.show.sound.note_sounds import sounds_file as sounds_file
    from theorykit.show.sound.synthesizer import (
        QUICK as QUICK,
        Instrument as Instrument,
        Samples as Samples,
        flac_bytes as flac_bytes,
        instrument as instrument,
        line_gains as line_gains,
        moments_told as moments_told,
        mp3_bytes as mp3_bytes,
        ogg_bytes as ogg_bytes,
        render as render,
        room_shares as room_shares,
        spare as spare,
        tone_names as tone_names,
        wav_bytes as wav_bytes,
    )
