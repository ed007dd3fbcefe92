"""The bar of a served page for the visitor's own files: each as a download, and one of theirs to open."""

from html import escape

import ipywidgets as widgets

from kit.errors import KitError
from kit.look import Framed
from kit.study import open_study
from kit.study.quilt_folder import set_working
from kit.taking_home import bring_file, list_own, make_link


class OwnFiles(Framed):
    """What a visitor has made on this server, to take home, and a field that opens a file of theirs."""

    def __init__(self) -> None:
        super().__init__()
        self.add_class("seamproof-own")
        self.upload = widgets.FileUpload(accept=".toml,.zip", description="Open a file of yours",
                                         tooltip="A study file or a packed study of yours, from this device",
                                         layout=widgets.Layout(width="190px"))  # fmt: skip
        self.upload.observe(lambda _: self.take_file(), names="value")
        self.again = widgets.Button(description="Look again", icon="refresh", layout=widgets.Layout(width="130px"))
        self.again.on_click(lambda _: self.list())
        self.said, self.files = widgets.HTML(), widgets.HTML()
        row = widgets.HBox([self.upload, self.again], layout=widgets.Layout(flex_flow="row wrap"))
        self.fold = widgets.Accordion(children=[widgets.VBox([row, self.said, self.files])], selected_index=None)
        self.fold.set_title(0, "Your files: take one home, open one of yours")
        self.fold.observe(lambda _: self.list(), names="selected_index")
        self.children = (self.fold,)

    def list(self) -> None:
        """List the files while they are in sight."""
        if self.fold.selected_index is None:
            self.files.value = ""
            return
        lines = [f"<li>{link}</li>" for link in map(make_link, list_own()) if link]
        found = f"<ul>{''.join(lines)}</ul>" if lines else "<p>Nothing is saved yet.</p>"
        self.files.value = f"{found}<p>They are deleted some time after your last page is closed.</p>"

    def take_file(self) -> None:
        """Take the file that was chosen; from then on it is the quilt that the pages open."""
        if not self.upload.value:
            return
        (chosen, *_) = self.upload.value
        self.upload.value = ()
        try:
            path = bring_file(str(chosen["name"]), bytes(chosen["content"]))
            title = open_study(path).title
            set_working(path)
        except KitError as error:
            self.said.value = f'<div role="status">{escape(str(error))}</div>'
            return
        self.said.value = (
            f'<div role="status">{escape(title)} is now the quilt that the pages open.'
            ' <a href="" style="color:inherit;text-decoration:underline">Show it on this page</a></div>'
        )
        self.list()
