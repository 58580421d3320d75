"""Keys pressed in a page stay in the page.

A notebook takes plain keys for its own commands wherever no text is being typed: with a list in
focus the arrow keys would go to another cell, B would insert one, and M would turn the cell that
holds the page into text. Lists, sliders and players need these keys themselves.
"""

from __future__ import annotations

import ipywidgets as ipw

__all__ = ["KEYS_STAY", "keep_keys"]

KEYS_STAY = "theorykit-keys-stay"  # the class of a page whose keys are its own

# Letters, signs, the space bar and the keys that move; keys with Control, Command or Alt pass, and
# so do Enter (with Shift it runs the cell), Tab and Escape.
_SCRIPT = f"""
if (!window.theorykitKeysStay) {{
    window.theorykitKeysStay = true;
    document.body.addEventListener("keydown", event => {{
        const own = event.key.length === 1 || /^(Arrow|Page|Home$|End$)/.test(event.key);
        const command = event.ctrlKey || event.metaKey || event.altKey;
        if (own && !command && event.target.closest(".{KEYS_STAY}")) event.stopPropagation();
    }});
}}
"""


def keep_keys(page: ipw.Box) -> None:
    """Keep plain keys that are pressed in ``page`` from the notebook; call it once for a page.

    Widgets have no way to say this, so that the page carries a script, in an output that is not
    seen. Where scripts are not run, everything else works as before.
    """
    data = {"application/javascript": _SCRIPT}
    script = {"output_type": "display_data", "metadata": {}, "data": data}
    carrier = ipw.Output(outputs=(script,), layout=ipw.Layout(display="none"))
    page.children = (*page.children, carrier)
    page.add_class(KEYS_STAY)
