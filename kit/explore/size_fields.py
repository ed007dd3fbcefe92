"""The finished size of the quilt as two fields, and the button that brings it near to a size written there."""

from collections.abc import Callable

import ipywidgets as widgets

from kit.explore.typed_lengths import UNIT, read_typed
from kit.lengths import System, write_length

Size = tuple[float, float]


class SizeFields(widgets.VBox):
    """Finished width and length: as the quilt is, until another size is written.

    Parameters
    ----------
    system
        Of the study.
    come
        Called by the button, with a function that returns the wanted size in inches.
    """

    def __init__(self, system: System, come: Callable[[Callable[[], Size]], None]) -> None:
        super().__init__()
        self._system = system
        self._shown: dict[str, float] = {}
        self.fields = [
            widgets.Text(
                description=f"Quilt, finished {what} ({UNIT[system]})",
                continuous_update=False,
                tooltip="As the quilt is now; write the size that you want, then press the button",
                style={"description_width": "238px"},
                layout=widgets.Layout(width="340px"),
            )
            for what in ("width", "length")
        ]
        self.button = widgets.Button(
            description="Come closest to this size",
            tooltip="Set the counts of columns and rows so that the quilt comes nearest to this finished size",
            layout=widgets.Layout(width="auto", margin="2px 2px 8px"),
        )
        self.button.on_click(lambda _: come(self.read))
        self.children = (*self.fields, self.button)

    def follow(self, finished: Size) -> None:
        """Show the size of the quilt."""
        for field, size in zip(self.fields, finished, strict=True):
            field.value = write_length(size, self._system).replace("\N{NO-BREAK SPACE}", " ")
            self._shown[field.value] = size

    def read(self) -> Size:
        """Return the wanted size in inches; a field left alone gives the size of the quilt as it is.

        Raises
        ------
        LengthError
            A field that does not hold a length.
        """
        width, length = (
            self._shown[field.value] if field.value in self._shown else read_typed(field.value, self._system)[0]
            for field in self.fields
        )
        return width, length
