"""The service of this repository, which tests start as often as needed."""

import json
import os
import pathlib
import subprocess
import tempfile
import unittest

_ROOT = pathlib.Path(__file__).resolve().parents[3]


class Service:
    """A running service. It listens on free loopback ports."""

    def __init__(self, binary: pathlib.Path, *flags: str):
        command = [binary, "--grpc", "127.0.0.1:0", "--http", "127.0.0.1:0", "--drain-delay", "0s", "--log-format", "json"]
        env = {name: value for name, value in os.environ.items() if not name.startswith("RIPWRIGHT_")}
        self._process = subprocess.Popen([*command, *flags], stderr=subprocess.PIPE, text=True, env=env)
        said = []
        for line in self._process.stderr:
            said.append(line)
            if '"serving"' in line:
                where = json.loads(line)
                self.grpc, self.http = where["grpc"], where["http"]
                return
        self.kill()
        raise RuntimeError("the service did not start:\n" + "".join(said))

    def kill(self) -> None:
        """Ends it like a crash."""
        self._process.kill()
        self._process.wait()
        self._process.stderr.close()


class ServiceTest(unittest.TestCase):
    """A test against the service."""

    @classmethod
    def setUpClass(cls) -> None:
        holder = tempfile.TemporaryDirectory(prefix="ripwright-")
        cls.addClassCleanup(holder.cleanup)
        cls.dir = pathlib.Path(holder.name)
        cls._binary = cls.dir / "server"
        subprocess.run(["go", "build", "-o", cls._binary, "./server"], cwd=_ROOT, check=True)
        cls.service = cls.start()

    @classmethod
    def start(cls, *flags: str) -> Service:
        service = Service(cls._binary, *flags)
        cls.addClassCleanup(service.kill)
        return service
