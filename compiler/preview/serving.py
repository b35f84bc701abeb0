"""The command `serve`: starts the server and the watch, says the address, ends on Ctrl-C."""

from __future__ import annotations

import signal
import sys
import threading
from types import FrameType

from countwheel import files
from countwheel.cli import CLEAN
from countwheel.files import Folder, Trouble
from countwheel.preview.desk import Desk
from countwheel.preview.server import Server
from countwheel.preview.watch import Watch
from countwheel.telling import fail, tell


def serve(name: str, port: int = 0, open_page: bool = False) -> int:
    """Serves the description `name` until it is stopped. A description with faults is served all the same."""
    try:
        found = files.find_description(name)
        files.read_text(found)
    except Trouble as trouble:
        return fail(f"{name} cannot be read: {trouble.why}")
    desk = Desk(str(found))
    try:
        server = Server(desk, port)
    except (OSError, OverflowError):
        return fail(f"the port {port} cannot be had; another program has it, or it is not yours to take")
    tell([desk.now], errors=True)
    watch = Watch(Folder(found.parent), desk.watched, desk.read)
    threads = [
        threading.Thread(target=run, daemon=True)
        for run in (watch.run, lambda: server.serve_forever(poll_interval=0.1))
    ]
    for thread in threads:
        thread.start()
    stopped = _stop_event()
    print(f"{found} is shown at\n\n  {server.address}\n\non this machine only. Ctrl-C ends it.", flush=True)
    if open_page:
        import webbrowser

        if not webbrowser.open(server.address_once()):
            sys.stderr.write("countwheel: no browser could be started; copy the address into one\n")
    try:
        while not stopped.wait(0.5):
            pass
    except KeyboardInterrupt:
        pass
    watch.stop()
    server.close()
    print("\nended; nothing was written")
    return CLEAN


def _stop_event() -> threading.Event:
    """Set when the program is told to end in the usual way."""
    stopped = threading.Event()

    def stop(number: int, frame: FrameType | None) -> None:
        stopped.set()

    if threading.current_thread() is threading.main_thread():
        signal.signal(signal.SIGTERM, stop)
    return stopped
