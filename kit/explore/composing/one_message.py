"""A figure in a notebook that sends all changes made together as one message, so that the page draws once."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from bokeh.core.json_encoder import serialize_json
from bokeh.protocol import Protocol
from jupyter_bokeh.widgets import BokehModel


class OneMessage(BokehModel):
    """A figure whose changes can be held back and sent together."""

    def __init__(self, model: Any, **more: Any) -> None:
        self._held: list[Any] | None = None
        super().__init__(model, **more)

    @contextmanager
    def at_once(self) -> Iterator[None]:
        """Send what changes meanwhile in one message."""
        self._held = []
        try:
            yield
        finally:
            self.send_held()

    def send_held(self) -> None:
        """Send what was held back."""
        events, self._held = self._held, None
        if events:
            message = Protocol().create("PATCH-DOC", events)
            for part in (message.header_json, message.metadata_json, message.content_json):
                self.send({"msg": "patch", "payload": part})

    def give_up(self) -> None:
        """Let go of the figure, so that its sources can be drawn again."""
        document = self._document
        self.close()
        if document is not None:
            document.clear()

    def get_state(self, *args: Any, **more: Any) -> dict[str, Any]:
        """Return what a page needs to show the figure as it is now, not as it was made: a page may be loaded again."""
        state: dict[str, Any] = super().get_state(*args, **more)
        if "render_bundle" in state:
            state["render_bundle"] = serialize_json(self._model_to_traits(self._model))
        return state

    def _sync_model(self, model: Any, content: dict[str, Any], buffers: list[Any]) -> None:
        """Take clicks alone: the page also sends back each change that was sent to it, which is known here."""
        if content.get("kind") == "MessageSent":
            super()._sync_model(model, content, buffers)

    def _document_patched(self, event: Any) -> None:
        """Send a change, or keep it until all are made."""
        if self._held is None:
            super()._document_patched(event)
        elif event.setter is not self:
            self._held.append(event)
