"""As much of an IMAP server (RFC 3501) as reading a folder needs, on a free port."""

from __future__ import annotations

import socketserver
import threading
from collections.abc import Iterator
from contextlib import contextmanager


class _Talk(socketserver.StreamRequestHandler):
    def handle(self) -> None:
        self.say("* OK ready")
        for line in self.rfile:
            tag, verb, *words = line.decode().strip().split(" ")
            answer = getattr(self, verb.lower(), lambda words: "OK done")(words)
            self.say(f"{tag} {answer}")
            if verb == "LOGOUT":
                return

    def say(self, words: str) -> None:
        self.wfile.write(words.encode() + b"\r\n")

    def capability(self, words: list[str]) -> str:
        self.say("* CAPABILITY IMAP4rev1")
        return "OK done"

    def login(self, words: list[str]) -> str:
        right = words == ["bounces", '"let me in"'] or words == ["bounces", '"let', "me", 'in"']
        return "OK in" if right else "NO wrong name or password"

    def select(self, words: list[str]) -> str:
        self.say(f"* {len(self.server.mails)} EXISTS")
        return "OK [READ-WRITE] selected"

    def search(self, words: list[str]) -> str:
        fresh = [str(n) for n in self.server.mails if n not in self.server.seen]
        self.say(" ".join(["* SEARCH", *fresh]))
        return "OK done"

    def fetch(self, words: list[str]) -> str:
        number = int(words[0])
        raw = self.server.mails[number]
        self.wfile.write(f"* {number} FETCH (BODY[] {{{len(raw)}}}\r\n".encode() + raw + b")\r\n")
        self.server.seen.add(number)
        return "OK done"


class _Server(socketserver.ThreadingTCPServer):
    daemon_threads = True

    def __init__(self, mails: list[bytes]) -> None:
        super().__init__(("127.0.0.1", 0), _Talk)
        self.mails, self.seen = dict(enumerate(mails, start=1)), set[int]()


@contextmanager
def imap_server(*mails: bytes) -> Iterator[str]:
    """Serve these mails in INBOX to "bounces" with the password "let me in"; yields host:port."""
    with _Server(list(mails)) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"127.0.0.1:{server.server_address[1]}"
        server.shutdown()
