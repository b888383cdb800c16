"""Python's collector of reference cycles, run by the window's thread alone.

Left to itself it runs in whichever thread happens to allocate. What it frees may be a widget or a
timer, and Qt can free those only in the window's thread: in the disk's it hangs or crashes. Nor may
it begin of its own in the window's: while Qt frees an object it holds a lock and asks Python
whether somebody wants to know; a collection that begins just then, and frees another object, waits
for that lock for ever.
"""

from __future__ import annotations

import gc

from PySide6.QtCore import QObject, QTimer

EVERY_MS = 200


def collect_due() -> None:
    """Collect what Python's own thresholds say is due, the old only with the young."""
    counts, limits = gc.get_count(), gc.get_threshold()
    if counts[0] <= limits[0]:
        return
    oldest = 0
    while oldest < 2 and counts[oldest + 1] > limits[oldest + 1]:
        oldest += 1
    gc.collect(oldest)


class Collector(QObject):
    """Takes the collector over while a window is open."""

    def __init__(self) -> None:
        super().__init__()
        self._was_enabled = gc.isenabled()
        self._timer = QTimer(self, interval=EVERY_MS)
        self._timer.timeout.connect(collect_due)

    def install(self) -> None:
        """Take over from Python."""
        gc.disable()
        self._timer.start()

    def remove(self) -> None:
        """Give it back as it was, once nothing of the window is left to be collected."""
        self._timer.stop()
        gc.collect()
        if self._was_enabled:
            gc.enable()
