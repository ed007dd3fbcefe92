"""The look that all screens share: the room that controls and picture have, colours in both themes, focus, motion.

The style goes with every screen, so that it is there after a page is loaded again and on served pages. What counts is
the room of the screen itself, not that of the window: a side bar may be open.
"""

from collections.abc import Sequence
from html import escape
from typing import Any

import ipywidgets as widgets
from bokeh.models import LayoutDOM
from jupyter_bokeh.widgets import BokehModel
from traitlets import validate

from kit.look_access import ACCESS

CSS = """
.seamproof{container:seamproof/inline-size;width:100%;max-width:1880px!important;overflow:visible!important;
 font-size:13px;--sp-ink:var(--jp-content-font-color1,#1b1b1b);--sp-soft:#545454;--sp-focus:#0b57d0;--sp-stripe:#f2eee6;
 --sp-line:#767676;--sp-mark:#9c3d16;--sp-right:#1f5f2c}
[data-jp-theme-light="false"] .seamproof{--sp-soft:#c4c4c4;--sp-focus:#8ab4f8;--sp-stripe:#2b2a28;--sp-line:#9a9a9a;
 --sp-mark:#f0a27f;--sp-right:#8fd6a0}
.seamproof :is(.seamproof-right,.seamproof-right *){color:var(--sp-right)}
.seamproof :is(.seamproof-mistake,.seamproof-wrong){color:var(--sp-mark)}
.seamproof :is(.seamproof-unread,.seamproof-shown){color:var(--sp-soft)}
.seamproof .widget-box,.seamproof .jupyter-widget-Collapse,.seamproof .widget-html,.seamproof .widget-html-content{
 max-width:100%}
.seamproof>.widget-box,.seamproof-body,.seamproof-body>*{overflow:visible!important}
.seamproof .jupyter-widgets{max-width:100%}
.seamproof .jupyter-button{flex-shrink:0}
.seamproof-sweep>.widget-hbox{flex-wrap:wrap}
.seamproof-sweep .widget-label{flex-shrink:0}
.seamproof img,.seamproof svg{max-width:100%;height:auto}
.jp-OutputArea-output:has(>.seamproof),.jp-OutputArea-output:has(.seamproof),.jp-OutputArea-child:has(.seamproof),
.jp-OutputArea:has(.seamproof),.jp-Cell-outputWrapper:has(.seamproof),.jp-Cell-outputCollapser:has(.seamproof),
.widget-subarea:has(.seamproof),.jupyter-widgets-view:has(>.seamproof){overflow:visible!important}
.seamproof-body{display:grid!important;grid-template-columns:minmax(0,min(46%,470px)) minmax(0,1fr);gap:14px;
 align-items:start;width:100%}
.seamproof-controls{width:auto!important;max-width:100%!important;min-width:0;container:controls/inline-size}
.seamproof-stage{position:sticky;top:2px;min-width:0;width:auto!important;max-width:100%!important;margin:0!important;
 z-index:2;background:var(--jp-layout-color0,#fff)}
.seamproof-picture{width:100%!important;min-height:0!important;overflow:visible!important}
.seamproof-picture.seamproof-tall{max-width:max(220px,calc((100vh - 250px)*1.03))!important}
@container seamproof (width<480px){.seamproof-body{grid-template-columns:minmax(0,1fr)}
 .seamproof-stage{order:-1}.seamproof-picture.seamproof-tall{max-width:max(200px,calc((100vh - 250px)*.55))!important}}
.seamproof-controls :is(.widget-text,.widget-dropdown,.widget-select,.widget-hslider,.widget-checkbox,.widget-combobox,
 .widget-textarea,.widget-toggle-buttons,.widget-html){width:auto!important;max-width:100%!important}
.seamproof-controls :is(.widget-inline-hbox,.widget-inline-vbox){height:auto;min-height:var(--jp-widgets-inline-height);
 align-items:center}
.seamproof-controls :is(.widget-text,.widget-dropdown,.widget-select,.widget-hslider,.widget-combobox,
 .widget-textarea)>.widget-label{flex:0 0 43cqi;width:43cqi!important;max-width:230px;
 white-space:normal;overflow:visible;line-height:1.2;
 text-align:right;height:auto}
.seamproof-controls :is(input,select,textarea){min-width:0}
.seamproof-controls :is(select,input[type=text],input[type=number]){min-height:28px}
.seamproof-length{flex-wrap:nowrap;overflow:visible!important}
.seamproof-length>.widget-hslider{flex:1 1 auto;min-width:0}
.seamproof-length>.widget-text{flex:0 0 92px;width:92px!important}
.seamproof-controls .widget-hslider .slider-container{min-width:30px;flex:1 1 60px}
.seamproof-controls .widget-readout{min-width:44px;flex:0 0 44px}
.seamproof-controls .jupyter-widget-Collapse-contents{padding:6px 4px}
@container controls (width<400px){
 .seamproof-controls .widget-inline-hbox:has(>.widget-label:not(:empty)):not(.widget-checkbox){flex-wrap:wrap}
 .seamproof-controls :is(.widget-text,.widget-dropdown,.widget-select,.widget-hslider,.widget-combobox,
 .widget-textarea)>.widget-label{flex:1 0 100%;width:100%!important;max-width:none;text-align:left}
 .seamproof-length{align-items:flex-end}
 .seamproof-controls .widget-checkbox>.widget-label:first-child{display:none}}
.seamproof .jupyter-button,.seamproof .widget-toggle-button{height:auto;min-height:28px;line-height:1.25;
 white-space:normal;max-width:100%}
.seamproof .jupyter-button{padding-left:6px;padding-right:6px}
.seamproof .widget-toggle-button{width:auto!important;padding:2px 9px}
.seamproof-tray .jupyter-button{white-space:pre-line}
.seamproof .widget-toggle-buttons{flex-wrap:wrap}
[data-jp-theme-light="false"] .seamproof .widget-dropdown>select{background-size:5px 5px;background-repeat:no-repeat;
 background-image:linear-gradient(45deg,transparent 50%,#ddd 50%),linear-gradient(-45deg,transparent 50%,#ddd 50%);
 background-position:calc(100% - 14px) 50%,calc(100% - 9px) 50%}
.seamproof .widget-hslider{height:auto!important}
.seamproof .seamproof-table td,.seamproof .seamproof-table th{line-height:1.35;color:var(--sp-ink)}
.seamproof-hidden{position:absolute!important;width:1px!important;height:1px!important;min-width:0!important;
 overflow:hidden!important;clip-path:inset(50%);margin:0!important;padding:0!important}
.seamproof .widget-vbox:has(>.seamproof-sentence-box){width:100%}
.seamproof-sentence-box{flex-wrap:wrap;align-items:center;row-gap:2px;font-size:15px;max-height:150px;
 overflow:auto!important}
.seamproof-number{align-items:center;width:auto!important;flex:0 0 auto;overflow:visible!important}
.seamproof-number .widget-html{margin:0 4px}.seamproof-number .widget-html:has(span:empty){margin:0}
.seamproof-number .widget-html:has(.seamproof-close){margin-left:0}
.seamproof-number .widget-text{margin:0;min-width:0}
.seamproof-number .widget-text input{font-weight:bold;text-align:center;padding:2px}
.seamproof-number .jupyter-button{margin:0 1px;padding:0}
.seamproof-soft{color:var(--sp-soft)}
.seamproof-ruled{overflow-x:auto}.seamproof-ruled table{border-collapse:collapse}
.seamproof-ruled :is(td,th){text-align:left!important;vertical-align:top;padding:2px 12px 2px 4px}
.seamproof-ruled tbody tr:nth-child(even){background:var(--sp-stripe)}
.seamproof-files a{color:var(--sp-focus);text-decoration:underline}
.seamproof :is(button,input,select,textarea,[tabindex],[contenteditable]):focus-visible{
 outline:3px solid var(--sp-focus)!important;outline-offset:1px;box-shadow:none!important}
.seamproof .noUi-handle:focus{outline:3px solid var(--sp-focus)!important}
.seamproof .noUi-handle{border:2px solid var(--sp-line)}
.seamproof .noUi-base,.seamproof .noUi-target{background:var(--sp-line)}
.seamproof .jupyter-widget-Collapse-header,.seamproof .lm-TabBar-tab{color:var(--sp-ink)!important}
.seamproof .jupyter-button{color:var(--sp-ink)!important}
.seamproof .jupyter-button:disabled{opacity:1;color:var(--sp-soft)!important;font-style:italic}
.seamproof :is(input,textarea)::placeholder{color:var(--sp-soft)!important;opacity:1}
.seamproof :is(input,select,textarea):disabled{opacity:1;color:var(--sp-soft)!important;font-style:italic}
@media (forced-colors:active){.seamproof .jupyter-button,.seamproof .noUi-handle,.seamproof .noUi-target{
 border:1px solid ButtonText!important}.seamproof .mod-active,.seamproof .seamproof-taken{outline:3px solid Highlight}
 .seamproof :is([data-swatch],canvas,img,svg,input[type=color]){forced-color-adjust:none}
 .seamproof .seamproof-lit{outline:2px solid Highlight}
 .seamproof :focus-visible{outline:3px solid Highlight!important}.seamproof-number{border-bottom:2px solid LinkText}}
@media (prefers-reduced-motion:reduce){.seamproof *{transition:none!important;animation:none!important;
 scroll-behavior:auto!important}}
.seamproof-message{height:46px;overflow:auto;margin:2px 0;max-width:100%}
@container seamproof (width<900px){.seamproof-message{height:64px}}
.seamproof-message [role=status]{max-width:none!important;min-height:34px;line-height:1.35!important}
"""
"""A grid of controls and picture, which stays in sight while the page is scrolled; colours that both themes can be read
in; the focus; forced colours; no motion where none is wished."""


class Framed(widgets.VBox):
    """The outermost box of a screen, with the look of all screens as its last part."""

    def __init__(self, children: Sequence[widgets.Widget] = (), **more: Any) -> None:
        style = f'<style onload="{escape(ACCESS)}">{CSS}</style>'
        self._look = widgets.HTML(style, layout=widgets.Layout(display="none"))
        super().__init__(children, **more)
        self.add_class("seamproof")

    @validate("children")
    def _add_look(self, proposal: dict[str, Any]) -> tuple[widgets.Widget, ...]:
        return (*(child for child in proposal["value"] if child is not self._look), self._look)


def lay_beside(controls: widgets.Widget, stage: widgets.Widget) -> widgets.Box:
    """Return controls and picture side by side, the picture above where there is no room; it stays in sight."""
    controls.add_class("seamproof-controls")
    stage.add_class("seamproof-stage")
    body = widgets.HBox([controls, stage])
    body.add_class("seamproof-body")
    return body


def make_picture_room(*, tall: bool = True) -> widgets.Box:
    """Return the box of a picture: as wide as there is room; a tall one no wider than lets it be seen whole."""
    box = widgets.Box()
    box.add_class("seamproof-picture")
    if tall:
        box.add_class("seamproof-tall")
    return box


def fill_room(box: widgets.Box, drawn: LayoutDOM) -> None:
    """Put a figure into its box, as large as the box."""
    drawn.sizing_mode = "scale_width"
    box.children = (BokehModel(drawn, layout=widgets.Layout(width="100%")),)
