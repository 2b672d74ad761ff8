"""What the routes of takes are handed: the recogniser, and a file that was sent with a form."""

import json
from collections.abc import AsyncIterator, Callable
from dataclasses import dataclass
from typing import Annotated

from fastapi import Depends, Request, Response
from fastapi.concurrency import run_in_threadpool
from sqlmodel import Session
from starlette.datastructures import UploadFile

from server.domain.base.errors import Fault, InvalidInput
from server.domain.base.media import MOST_OF_CAPTIONS
from server.domain.heard.captions import read_transcript
from server.domain.heard.words import Transcript, transcript_document
from server.hearing.keeper import Hearing
from server.hearing.late import LateHearing
from server.store.disk import disk_trouble
from server.web.frame.dependencies import HeldDatabase, made_of
from server.web.frame.forms import Form, Typed
from server.web.frame.render import page, see
from server.web.frame.shown import Page

PASTED = "pasted text"


@dataclass(frozen=True)
class SentWords:
    """A form with words: its texts, and the name and content of the file, where one was chosen."""

    typed: Typed
    file_name: str = ""
    content: bytes = b""
    trouble: str = ""


async def _hearing(request: Request) -> Hearing:
    late: LateHearing = request.app.state.hearing
    return await run_in_threadpool(late.begun)


async def _sent(request: Request) -> AsyncIterator[SentWords]:
    try:
        form = await request.form()
    except OSError as error:  # While it arrives, it is put down in a temporary file.
        told = disk_trouble(error)
        if told is None:
            raise
        yield SentWords(Typed({}), trouble=told.message)
        return
    typed = Typed({name: value for name, value in form.items() if isinstance(value, str)})
    file = form.get("captions")
    try:
        if isinstance(file, UploadFile) and file.filename:
            content = await file.read(MOST_OF_CAPTIONS + 1)
            yield SentWords(typed, file.filename, content)
        else:
            yield SentWords(typed)
    finally:
        await form.close()


HeldHearing = Annotated[Hearing, Depends(_hearing)]


class WordsForm:
    """The form by which words of a talk come in: kept, or shown again with what is wrong."""

    def __init__(
        self,
        request: Request,
        held: HeldDatabase,
        sent: Annotated[SentWords, Depends(_sent)],
    ) -> None:
        self._request = request
        self._held = held
        self._sent = sent

    def take_in(
        self,
        keep: Callable[[Session, str, str], str],
        again: Callable[[Session, Form], Page],
    ) -> Response:
        """Have `keep` write the words, and go on to the address that it returns.

        It is given what the file is called, "" for pasted text, and the words as they are kept.
        Where they cannot be read, `again` builds the page around the form.
        """
        try:
            name, transcript = _words_in(self._sent)
        except InvalidInput as error:
            with self._held.reading() as session:
                shown = again(session, Form(self._sent.typed.values, error.faults))
            return page(self._request, shown, 422)
        words = json.dumps(transcript_document(transcript), ensure_ascii=False)
        with self._held.writing() as session:
            address = keep(session, name, words)
        return see(address)


HeldWords = Annotated[WordsForm, Depends(made_of(WordsForm))]


def _words_in(sent: SentWords) -> tuple[str, Transcript]:
    """What was sent as words, and what it is called; the file goes before what was pasted.

    Raises InvalidInput beside the field where there is nothing in it that can be read.
    """
    if sent.trouble:
        raise InvalidInput.of("captions", sent.trouble)
    pasted = sent.typed.text("pasted")
    if sent.content:
        return sent.file_name, _read(sent.file_name, sent.content, "captions")
    if not pasted:
        raise InvalidInput.of("captions", "Choose a file of captions, or paste the text below.")
    return "", _read("pasted.txt", pasted.encode(), "pasted")


def _read(name: str, content: bytes, field: str) -> Transcript:
    try:
        return read_transcript(name, content)
    except InvalidInput as error:
        raise InvalidInput(Fault(field, each.message) for each in error.faults) from error
