"""A tiny SMTP server (RFC 5321) for tests: takes messages, or misbehaves as it is told."""

import contextlib
import socketserver
import threading
import time
from email import message_from_bytes, policy

from shop.mail_server import MailServer


class _Talk(socketserver.StreamRequestHandler):
    timeout = 10

    def say(self, words):
        self.wfile.write(f"{words}\r\n".encode())

    def handle(self):
        with contextlib.suppress(OSError):
            self.talk()

    def talk(self):
        told = self.server.told
        if told.get("greeting") == "silence":
            time.sleep(told["for"])
            return
        self.say(told.get("greeting", "220 mail.example"))
        while line := self.rfile.readline():
            word = line.split(b":")[0].split()[0].upper().decode() if line.split() else ""
            answer = told.get(word)
            if word == "QUIT":
                self.say(answer or "221 bye")
                return
            if answer == "drop":
                return
            if answer and not (word == "DATA" and answer.startswith("after ")):
                self.say(answer)
            elif word == "EHLO":
                self.say("250-mail.example")
                self.say("250 AUTH PLAIN")
            elif word == "AUTH":
                self.server.logged_in.append(line.split()[2].decode())
                self.say("235 welcome")
            elif word == "DATA":
                self.say("354 go on")
                self.take(answer)
                if answer == "after drop":
                    return
            else:
                self.say("250 fine")

    def take(self, answer):
        data = bytearray()
        while (line := self.rfile.readline()) and line != b".\r\n":
            data += line[1:] if line.startswith(b".") else line
        if answer and answer != "after drop":
            self.say(answer.removeprefix("after "))
            return
        self.server.taken.append(bytes(data))
        if answer != "after drop":
            self.say("250 taken")


class MailCatcher(socketserver.ThreadingTCPServer):
    """`told` maps a command to what is answered instead; "drop" hangs up, DATA's "after ..." once all is sent."""

    daemon_threads = True
    allow_reuse_address = True

    def __init__(self, **told):
        super().__init__(("127.0.0.1", 0), _Talk)
        self.told, self.taken, self.logged_in = told, [], []

    @property
    def messages(self):
        return [message_from_bytes(data, policy=policy.default) for data in self.taken]

    def as_server(self, **more):
        return MailServer("127.0.0.1", self.server_address[1], "none", **{"timeout": 5.0, **more})


@contextlib.contextmanager
def mail_catcher(**told):
    with MailCatcher(**told) as catcher:
        threading.Thread(target=catcher.serve_forever, args=[0.02], daemon=True).start()
        yield catcher
        catcher.shutdown()
