"""What the app is measured against: servers of the same kind that do the least that could be done.

    python -m tests.bench.peers pages PORT FILE    a Jinja page, the same bytes ready, nothing
    python -m tests.bench.peers bare PORT FILE     FastAPI with SQLModel and one table
    python -m tests.bench.peers echo PORT FILE     what is posted, passed on from memory

They are served as the app is: one uvicorn process, the loaded modules frozen for the collector.
"""

import asyncio
import json
import subprocess
import sys
import time
from collections.abc import AsyncIterator, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import SimpleNamespace

from fastapi import FastAPI, Request, Response
from fastapi.responses import StreamingResponse

from server.settings import ROOT
from tests.ports import free_port, is_answered

LOOK_EVERY_S = 0.005

PAGE = """\
{{ head | safe }}{% for row in rows %}<tr{{ row.muted | safe }}><th scope="row">\
<a href="{{ row.href }}"><bdi>{{ row.name }}</bdi></a>\
{% if row.remark %} <small dir="auto">{{ row.remark }}</small>{% endif %}\
</th><td>{{ row.choice | safe }}</td>{% for cell in row.cells %}<td{{ cell.over | safe }}>\
{{ cell.split | safe }}{% if cell.longer %} <small>{{ cell.longer }}</small>{% endif %}</td>\
{% endfor %}</tr>{% endfor %}{{ tail | safe }}"""


def pages(file: Path) -> FastAPI:
    """Answers a page rendered from memory at /page, ready bytes at /ready, and nothing at /."""
    from jinja2 import Environment

    content = json.loads(file.read_text(encoding="utf-8"))
    template = Environment(autoescape=True).from_string(PAGE)
    ready = template.render(content).encode()
    app = FastAPI()

    @app.get("/page")
    def page() -> Response:
        return Response(template.render(content), media_type="text/html")

    @app.get("/ready")
    async def ready_bytes() -> Response:
        return Response(ready, media_type="text/html")

    @app.post("/nothing")
    async def nothing(request: Request) -> dict[str, list[str]]:
        await request.body()
        return {"accepted": [], "differing": []}

    return app


def bare(file: Path) -> FastAPI:
    """One table, one route: the weight of the libraries and little else."""
    from sqlmodel import Field, Session, SQLModel, create_engine, select

    class Thing(SQLModel, table=True):
        id: int | None = Field(default=None, primary_key=True)
        name: str

    engine = create_engine(f"sqlite:///{file}")
    SQLModel.metadata.create_all(engine)
    app = FastAPI()

    @app.get("/")
    def things() -> list[Thing]:
        with Session(engine) as session:
            return list(session.exec(select(Thing)))

    return app


def echo(_file: Path) -> FastAPI:
    """What is posted to /echo goes to all who read /live, from memory and unread."""
    followers: set[asyncio.Queue[bytes]] = set()
    app = FastAPI()

    async def stream() -> AsyncIterator[bytes]:
        queue: asyncio.Queue[bytes] = asyncio.Queue()
        followers.add(queue)
        yield b": here\n\n"
        while True:
            yield b"data: " + await queue.get() + b"\n\n"

    @app.get("/live")
    async def live() -> Response:
        return StreamingResponse(stream(), media_type="text/event-stream")

    @app.post("/echo")
    async def post(request: Request) -> dict[str, list[str]]:
        body = await request.body()
        for queue in followers:
            queue.put_nowait(body)
        return {}

    return app


@contextmanager
def peer(kind: str, file: Path) -> Iterator[tuple[int, int]]:
    """A running peer: its port and process id."""
    port = free_port()
    command = [sys.executable, "-P", "-m", "tests.bench.peers", kind, str(port), str(file)]
    process = subprocess.Popen(
        command, cwd=ROOT, env={"PYTHONPATH": str(ROOT)}, stdout=subprocess.DEVNULL
    )
    try:
        wait_for(port)
        yield port, process.pid
    finally:
        process.kill()
        process.wait()


def wait_for(port: int, path: str = "/") -> None:
    """Wait for the first answer, whatever it says."""
    give_up = time.monotonic() + 30
    while not is_answered(port, path):
        assert time.monotonic() < give_up, f"nothing answers at {port}"
        time.sleep(LOOK_EVERY_S)


def main() -> None:
    kind, port, file = sys.argv[1], int(sys.argv[2]), Path(sys.argv[3])
    from server.__main__ import listen
    from server.app_server import run
    from server.settings import Settings

    make = {"pages": pages, "bare": bare, "echo": echo}[kind]
    app = make(file)
    # Nobody is let in here, and there are no people; the start tells of both.
    app.state.door = SimpleNamespace(link_secret="", has_people=lambda database: False)
    app.state.database = None
    run(app, Settings(port=port), listen("127.0.0.1", port))


if __name__ == "__main__":
    main()
