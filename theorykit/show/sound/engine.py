"""The engine of sound: the synthesizer, or what takes its place where Python runs in a browser.

All other modules ask for sound here. Both answer to the same names in the same way.
"""

from __future__ import annotations

import sys

if sys.platform == "emscripten":
    from theorykit.show.sound.browser_sound import (
        QUICK as QUICK,
    )
    from theorykit.show.sound.browser_sound import (
        Instrument as Instrument,
    )
    from theorykit.show.sound.browser_sound import (
        Samples as Samples,
    )
    from theorykit.show.sound.browser_sound import (
        flac_bytes as flac_bytes,
    )
    from theorykit.show.sound.browser_sound import (
        instrument as instrument,
    )
    from theorykit.show.sound.browser_sound import (
        line_gains as line_gains,
    )
    from theorykit.show.sound.browser_sound import (
        moments_told as moments_told,
    )
    from theorykit.show.sound.browser_sound import (
        mp3_bytes as mp3_bytes,
    )
    from theorykit.show.sound.browser_sound import (
        note_files as note_files,
    )
    from theorykit.show.sound.browser_sound import (
        ogg_bytes as ogg_bytes,
    )
    from theorykit.show.sound.browser_sound import (
        render as render,
    )
    from theorykit.show.sound.browser_sound import (
        room_shares as room_shares,
    )
    from theorykit.show.sound.browser_sound import (
        sounds_file as sounds_file,
    )
    from theorykit.show.sound.browser_sound import (
        spare as spare,
    )
    from theorykit.show.sound.browser_sound import (
        tone_names as tone_names,
    )
    from theorykit.show.sound.browser_sound import (
        wav_bytes as wav_bytes,
    )
else:
    from theorykit.show.sound.note_files import note_files as note_files
    from theorykit.show.sound.note_sounds import sounds_file as sounds_file
    from theorykit.show.sound.synthesizer import (
        QUICK as QUICK,
    )
    from theorykit.show.sound.synthesizer import (
        Instrument as Instrument,
    )
    from theorykit.show.sound.synthesizer import (
        Samples as Samples,
    )
    from theorykit.show.sound.synthesizer import (
        flac_bytes as flac_bytes,
    )
    from theorykit.show.sound.synthesizer import (
        instrument as instrument,
    )
    from theorykit.show.sound.synthesizer import (
        line_gains as line_gains,
    )
    from theorykit.show.sound.synthesizer import (
        moments_told as moments_told,
    )
    from theorykit.show.sound.synthesizer import (
        mp3_bytes as mp3_bytes,
    )
    from theorykit.show.sound.synthesizer import (
        ogg_bytes as ogg_bytes,
    )
    from theorykit.show.sound.synthesizer import (
        render as render,
    )
    from theorykit.show.sound.synthesizer import (
        room_shares as room_shares,
    )
    from theorykit.show.sound.synthesizer import (
        spare as spare,
    )
    from theorykit.show.sound.synthesizer import (
        tone_names as tone_names,
    )
    from theorykit.show.sound.synthesizer import (
        wav_bytes as wav_bytes,
    )
